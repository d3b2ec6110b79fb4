mod command;
mod layout;
mod manuscript;
mod search;
