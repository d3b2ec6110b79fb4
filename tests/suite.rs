mod manuscript;

mod search;
