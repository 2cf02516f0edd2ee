//! What happens, told to every page as it happens (server-sent events), so that a coach's tablet follows the bowler's phone.

use std::convert::Infallible;
use std::sync::Arc;

use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use tokio_stream::wrappers::{BroadcastStream, WatchStream};
use tokio_stream::{Stream, StreamExt};

use super::state::App;

/// One event for each change of the block, with how often it has changed; the first at once. It ends when the program does.
pub async fn stream(State(app): State<Arc<App>>) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let now = tokio_stream::once(Some(app.changes()));
    // Whoever was too slow to hear of some changes hears of the last one.
    let later = BroadcastStream::new(app.live.subscribe()).map(|change| Some(change.unwrap_or(0)));
    let end = WatchStream::from_changes(app.ending.subscribe()).map(|_| None);
    let told = now.chain(later).merge(end).map_while(|change| change);
    Sse::new(told.map(|change| Ok(Event::default().event("block").data(change.to_string()))))
        .keep_alive(KeepAlive::default())
}
