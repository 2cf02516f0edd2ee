//! Film read from a file: container and decoders behind [`Pictures`].

mod bounded;
mod decoder;
mod turn;

use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};

use re_mp4::{Mp4, Sample, StsdBoxContent, Track, TrackKind};

use crate::{FilmError, Picture, Pictures};
use bounded::{Bounded, claims_more_than_it_holds};
use decoder::{Decoder, Luma};
use turn::Turn;

/// Fewest and most pixels of a side.
const SIDES: std::ops::RangeInclusive<usize> = 16..=8192;

/// A film in memory, read picture by picture in the order in which they are shown.
pub struct Reel<'a> {
    bytes: &'a [u8],
    samples: Vec<Sample>,
    /// When each picture is shown, in order, seconds.
    times_s: Vec<f64>,
    decoder: Box<dyn Decoder>,
    turn: Turn,
    fed: usize,
    given: usize,
    ready: VecDeque<Luma>,
    flushed: bool,
}

impl<'a> Reel<'a> {
    /// Opens the video track of an MP4 or MOV file.
    ///
    /// # Errors
    /// If the bytes are no such file, hold no video, or video that no decoder here reads.
    pub fn open(bytes: &'a [u8]) -> Result<Self, FilmError> {
        let broken = |reason: String| FilmError::Container(reason);
        if claims_more_than_it_holds(bytes) {
            return Err(broken("it says to hold more pieces than it has bytes".to_owned()));
        }
        let read = || Mp4::read(Bounded::new(bytes), bytes.len() as u64);
        let mp4 = guarded(read).map_err(broken)?.map_err(|error| broken(error.to_string()))?;
        let track = mp4.tracks().values().find(|track| is_video(&mp4, track)).ok_or(FilmError::NoVideo)?;
        let trak = track.trak(&mp4);
        let config = track.raw_codec_config(&mp4).ok_or(FilmError::NoVideo)?;
        let decoder: Box<dyn Decoder> = match &trak.mdia.minf.stbl.stsd.contents {
            StsdBoxContent::Avc1(_) => Box::new(decoder::Avc::new(&config)?),
            StsdBoxContent::Hev1(_) | StsdBoxContent::Hvc1(_) => Box::new(decoder::Hevc::new(&config)?),
            StsdBoxContent::Av01(_) => return Err(FilmError::Codec("AV1".to_owned())),
            StsdBoxContent::Vp08(_) => return Err(FilmError::Codec("VP8".to_owned())),
            StsdBoxContent::Vp09(_) => return Err(FilmError::Codec("VP9".to_owned())),
            _ => return Err(FilmError::Codec("something unknown".to_owned())),
        };
        let samples = track.samples.clone();
        if samples.is_empty() {
            return Err(FilmError::NoVideo);
        }
        if let Some(cut) =
            samples.iter().position(|s| s.offset.checked_add(s.size).is_none_or(|end| end > bytes.len() as u64))
        {
            return Err(FilmError::Container(format!("it ends before picture {cut} of {}", samples.len())));
        }
        let seconds = |sample: &Sample| sample.composition_timestamp as f64 / sample.timescale.max(1) as f64;
        let mut times_s: Vec<f64> = samples.iter().map(seconds).collect();
        times_s.sort_by(f64::total_cmp);
        let first_s = times_s[0];
        for time_s in &mut times_s {
            *time_s -= first_s;
        }
        let matrix = &trak.tkhd.matrix;
        let turn = Turn::of([matrix.a, matrix.b, matrix.c, matrix.d]);
        Ok(Self { bytes, samples, times_s, decoder, turn, fed: 0, given: 0, ready: VecDeque::new(), flushed: false })
    }

    /// Pictures that the file says it holds.
    pub fn pictures(&self) -> usize {
        self.samples.len()
    }

    /// Pictures a second, on the mean of the whole film; none of a single picture.
    pub fn rate_hz(&self) -> Option<f64> {
        let last_s = *self.times_s.last()?;
        (last_s > 0.0).then(|| (self.times_s.len() - 1) as f64 / last_s)
    }

    /// Feeds samples until a picture is ready or nothing is left.
    fn fill(&mut self) -> Result<(), FilmError> {
        while self.ready.is_empty() && !self.flushed {
            let index = self.fed;
            let (decoder, ready) = (&mut self.decoder, &mut self.ready);
            let done = if let Some(sample) = self.samples.get(index) {
                let sample = &self.bytes[sample.byte_range()];
                self.fed += 1;
                guarded(|| decoder.feed(sample, ready))
            } else {
                self.flushed = true;
                guarded(|| decoder.flush(ready))
            };
            done.and_then(|done| done).map_err(|reason| FilmError::Picture { index, reason })?;
        }
        Ok(())
    }
}

impl Pictures for Reel<'_> {
    fn next(&mut self, into: &mut Picture) -> Result<bool, FilmError> {
        self.fill()?;
        let Some(luma) = self.ready.pop_front() else { return Ok(false) };
        let size = FilmError::Size { width: luma.width, height: luma.height };
        if !SIDES.contains(&luma.width) || !SIDES.contains(&luma.height) || luma.bytes.len() != luma.width * luma.height
        {
            return Err(size);
        }
        self.turn.apply(&luma, into);
        let last_s = self.times_s.last().copied().unwrap_or(0.0);
        into.time_s = self.times_s.get(self.given).copied().unwrap_or(last_s);
        self.given += 1;
        Ok(true)
    }
}

fn is_video(mp4: &Mp4, track: &Track) -> bool {
    track.kind == Some(TrackKind::Video) || track.raw_codec_config(mp4).is_some()
}

/// Runs code of a young library on bytes that anybody may have made: should it panic, that is a broken film too.
fn guarded<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(work)).map_err(|_| "the decoder gave up on it".to_owned())
}
