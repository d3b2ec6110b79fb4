
mod command;
mod layout;
