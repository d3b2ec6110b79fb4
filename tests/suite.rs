
mod pages;
