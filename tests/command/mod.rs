//! The real program in a temporary folder: what it prints, how it ends, and what it leaves on the disk.

mod failing_machine;
mod looking_up;
mod pressing;
mod proofing;
mod refusing;
mod same_bytes;
mod shop;
mod walking;
