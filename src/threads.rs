//! Shares work on many rows out among threads. The results stand in the order of the rows, however many threads there are.

use std::num::NonZeroUsize;
use std::ops::Range;
use std::sync::{Mutex, OnceLock};

/// Below so many rows threads cost more than they save.
const LEAST_ROWS: usize = 200;
/// More threads than these wait for each other's memory, unless somebody asks for them.
const MOST_THREADS: usize = 8;

/// How many threads somebody asked for.
static ASKED: OnceLock<NonZeroUsize> = OnceLock::new();

/// Asks for so many threads in the whole process; only the first wish counts. It changes the time that work takes, and nothing else.
pub fn ask_for(threads: NonZeroUsize) {
    ASKED.get_or_init(|| threads);
}

fn available() -> usize {
    let machine = || std::thread::available_parallelism().map_or(1, usize::from).min(MOST_THREADS);
    ASKED.get().map_or_else(machine, |asked| asked.get())
}

#[cfg(test)]
thread_local! {
    /// Parts that tests ask for, whatever the number of rows.
    pub(crate) static WANTED: std::cell::Cell<Option<usize>> = const { std::cell::Cell::new(None) };
}

/// Number of parts that so many rows are worth.
pub(crate) fn worth(rows: usize) -> usize {
    #[cfg(test)]
    if let Some(wanted) = WANTED.get() {
        return wanted;
    }
    if rows < LEAST_ROWS { 1 } else { available() }
}

/// Runs of rows of about one size, none of them empty.
pub(crate) fn of(rows: usize, parts: usize) -> impl Iterator<Item = Range<usize>> + Clone {
    let share = rows.div_ceil(parts.max(1)).max(1);
    (0..rows).step_by(share).map(move |first| first..rows.min(first + share))
}

/// Does the work on every part, each on a thread of its own.
pub(crate) fn each<P: Clone + Send + Sync, R: Send>(parts: impl Iterator<Item = P>, work: impl Fn(P) -> R + Sync) -> Vec<R> {
    let parts: Vec<P> = parts.collect();
    let Some((first, others)) = parts.split_first() else { return Vec::new() };
    let work = &work;
    std::thread::scope(|scope| {
        let threads: Vec<_> =
            others.iter().map(|part| (part, std::thread::Builder::new().spawn_scoped(scope, || work(part.clone())))).collect();
        let mut results = vec![work(first.clone())];
        // A part whose thread could not begin or finish is done here, where a defect shows as what it is.
        let result = |(part, thread): (&P, std::io::Result<std::thread::ScopedJoinHandle<'_, R>>)| {
            thread.ok().and_then(|thread| thread.join().ok()).unwrap_or_else(|| work(part.clone()))
        };
        results.extend(threads.into_iter().map(result));
        results
    })
}

/// Does something beside other work; before it, where one thread is all that was asked for.
pub(crate) fn beside<A: Send, B>(aside: impl Fn() -> A + Sync, work: impl FnOnce() -> B) -> (A, B) {
    if available() == 1 {
        return (aside(), work());
    }
    std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().spawn_scoped(scope, &aside);
        let done = work();
        (thread.ok().and_then(|thread| thread.join().ok()).unwrap_or_else(&aside), done)
    })
}

/// Does two things side by side that can be done once only; one after the other, where one thread is all that was asked for. There is
/// no result of what stopped on its own thread.
pub(crate) fn both<A: Send, B>(aside: impl FnOnce() -> A + Send, work: impl FnOnce() -> B) -> (Option<A>, B) {
    if available() == 1 {
        return (Some(aside()), work());
    }
    let waiting = Mutex::new(Some(aside));
    let take = || waiting.lock().ok().and_then(|mut waiting| waiting.take());
    std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().spawn_scoped(scope, || take().map(|aside| aside()));
        let done = work();
        let begun = thread.ok().and_then(|thread| thread.join().ok().flatten());
        // What no thread could begin is done here.
        (begun.or_else(|| take().map(|aside| aside())), done)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case(0, 2, &[])]
    #[case(1, 2, &[(0, 1)])]
    #[case(5, 2, &[(0, 3), (3, 5)])]
    #[case(4, 3, &[(0, 2), (2, 4)])]
    #[case(3, 0, &[(0, 3)])]
    fn parts_are_runs_without_gaps(#[case] rows: usize, #[case] parts: usize, #[case] expected: &[(usize, usize)]) {
        assert_eq!(of(rows, parts).map(|run| (run.start, run.end)).collect::<Vec<_>>(), expected);
    }

    #[test]
    fn both_are_done_once() {
        let (mut aside, mut work) = (0, 0);
        assert_eq!(both(|| (aside += 1, "aside").1, || (work += 1, "work").1), (Some("aside"), "work"));
        assert_eq!((aside, work), (1, 1));
    }

    #[test]
    fn results_stand_in_the_order_of_the_parts() {
        let squares: Vec<usize> = (0..1_000).map(|number| number * number).collect();
        for parts in [1, 2, 7, 64] {
            let found = each(of(1_000, parts), |part| part.map(|number| number * number).collect::<Vec<_>>());
            assert_eq!(found.concat(), squares);
        }
    }
}
