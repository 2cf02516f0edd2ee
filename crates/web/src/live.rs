//! What happens, told to every page as it happens (server-sent events), so that a coach's tablet follows the bowler's phone.

use std::convert::Infallible;
use std::sync::Arc;

use std::time::Duration;

use axum::Extension;
use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use tokio_stream::wrappers::WatchStream;
use tokio_stream::{Stream, StreamExt};

use super::guard::Asker;
use super::state::App;

/// How often the record is looked at while somebody listens, for what other programs write.
const LOOK: Duration = Duration::from_secs(1);

/// One event for each change of the block, with the number of how it stands; the first at once. Whoever was too slow to hear of some changes
/// hears of the last one. It ends when the program does, or forgets the device.
pub async fn stream(
    State(app): State<Arc<App>>,
    Extension(asker): Extension<Option<Asker>>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let numbers = WatchStream::new(app.live.subscribe()).map(Some);
    let end = WatchStream::from_changes(app.ending.subscribe()).map(|_| None);
    let known = Arc::clone(&app);
    let forgotten = WatchStream::from_changes(app.devices.forgotten()).filter_map(move |()| match asker {
        Some(Asker::Device(id, _)) if !known.devices.knows(id) => Some(None),
        _ => None,
    });
    let told = numbers.merge(end).merge(forgotten).map_while(|change| change);
    Sse::new(told.map(|change| Ok(Event::default().event("block").data(change.to_string()))))
        .keep_alive(KeepAlive::default())
}

/// Looks at the record from time to time, so that pages also hear of what the command line wrote. Ends with the program.
pub async fn watch(app: Arc<App>) {
    let mut ending = app.ending.subscribe();
    let look = async {
        loop {
            tokio::time::sleep(LOOK).await;
            if app.live.receiver_count() > 0 {
                // Where no block has begun there is nothing to tell, and what fails otherwise is told to whoever asks.
                let _ = app.queues.record.work(&app, App::served).await;
            }
        }
    };
    tokio::select! {
        () = look => (),
        _ = ending.changed() => (),
    }
}
