//! The line as it is typed: help, completion, mistakes, exit codes, widths, what is hostile in it.

mod completing;
mod contract;
mod exit_codes;
mod help;
mod hostile;
mod manual;
mod near_misses;
mod who_reads_it;
mod widths;
