//! stub
use crate::rules::*;
