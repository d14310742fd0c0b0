//! Physics that both books share.
