//! Properties of runs.
