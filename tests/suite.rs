mod manuscript;

mod practice;

mod search;
