//! Command line of Motorwright: arguments, exit status, nothing else.
fn main() {}
