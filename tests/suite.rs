
mod search;
