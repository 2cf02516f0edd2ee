//! The decoders, each behind the same trait: samples of the container in, brightness out, in the order of showing.

use std::collections::VecDeque;

use rust_h264::decoder::{Frame, OrderedDecoder};
use rust_h264::nal::{parse_avcc, parse_avcc_config};
use rust_h265::{PixelData, parse_hvcc, parse_nal};

use crate::FilmError;

/// A decoded picture's brightness.
pub struct Luma {
    pub width: usize,
    pub height: usize,
    pub bytes: Vec<u8>,
}

/// A decoder: what it is fed are the container's samples in their order.
pub trait Decoder {
    /// Takes one sample, and appends the pictures that are ready to be shown.
    fn feed(&mut self, sample: &[u8], ready: &mut VecDeque<Luma>) -> Result<(), String>;
    /// Appends what is left.
    fn flush(&mut self, ready: &mut VecDeque<Luma>) -> Result<(), String>;
}

/// H.264.
pub struct Avc {
    decoder: OrderedDecoder,
    length_size: usize,
}

impl Avc {
    /// A decoder for what the container's configuration record describes.
    pub fn new(config: &[u8]) -> Result<Self, FilmError> {
        let config = parse_avcc_config(config).map_err(|reason| FilmError::Container(reason.to_owned()))?;
        let mut decoder = OrderedDecoder::new();
        for nal in config.sps_nals.iter().chain(&config.pps_nals) {
            decoder.decode_nal(nal).map_err(|error| FilmError::Container(format!("{error:?}")))?;
        }
        Ok(Self { decoder, length_size: config.length_size })
    }
}

impl Decoder for Avc {
    fn feed(&mut self, sample: &[u8], ready: &mut VecDeque<Luma>) -> Result<(), String> {
        for nal in parse_avcc(sample, self.length_size) {
            let shown = self.decoder.decode_nal(&nal).map_err(|error| format!("{error:?}"))?;
            ready.extend(shown.into_iter().map(avc_luma));
        }
        Ok(())
    }

    fn flush(&mut self, ready: &mut VecDeque<Luma>) -> Result<(), String> {
        ready.extend(self.decoder.flush().into_iter().map(avc_luma));
        Ok(())
    }
}

fn avc_luma(frame: Frame) -> Luma {
    let bytes = if frame.bit_depth > 8 {
        // Two bytes a sample, the low one first.
        let down = u32::from(frame.bit_depth) - 8;
        frame.y.chunks_exact(2).map(|s| (u16::from_le_bytes([s[0], s[1]]) >> down) as u8).collect()
    } else {
        frame.y
    };
    Luma { width: frame.width as usize, height: frame.height as usize, bytes }
}

/// H.265.
pub struct Hevc {
    decoder: rust_h265::Decoder,
    length_size: u8,
}

impl Hevc {
    /// A decoder for what the container's configuration record describes (ISO/IEC 14496-15, 8.3.3.1).
    pub fn new(config: &[u8]) -> Result<Self, FilmError> {
        let short = || FilmError::Container("its configuration of H.265 is cut short".to_owned());
        let length_size = (config.get(21).ok_or_else(short)? & 3) + 1;
        let arrays = *config.get(22).ok_or_else(short)?;
        let mut decoder = rust_h265::Decoder::new().with_display_order();
        let mut rest = &config[23..];
        let take = |rest: &mut &[u8], count: usize| -> Result<Vec<u8>, FilmError> {
            let (taken, left) = rest.split_at_checked(count).ok_or_else(short)?;
            let taken = taken.to_vec();
            *rest = left;
            Ok(taken)
        };
        for _ in 0..arrays {
            let head = take(&mut rest, 3)?;
            for _ in 0..u16::from_be_bytes([head[1], head[2]]) {
                let size = take(&mut rest, 2)?;
                let nal = take(&mut rest, usize::from(u16::from_be_bytes([size[0], size[1]])))?;
                if let Some(nal) = parse_nal(&nal) {
                    decoder.decode_nal(&nal).map_err(|error| FilmError::Container(format!("{error:?}")))?;
                }
            }
        }
        Ok(Self { decoder, length_size })
    }
}

impl Decoder for Hevc {
    fn feed(&mut self, sample: &[u8], ready: &mut VecDeque<Luma>) -> Result<(), String> {
        for nal in parse_hvcc(sample, self.length_size) {
            self.decoder.decode_nal(&nal).map_err(|error| format!("{error:?}"))?;
            while let Some(frame) = self.decoder.next_output() {
                ready.push_back(hevc_luma(frame));
            }
        }
        Ok(())
    }

    fn flush(&mut self, ready: &mut VecDeque<Luma>) -> Result<(), String> {
        while let Some(frame) = self.decoder.flush() {
            ready.push_back(hevc_luma(frame));
        }
        self.decoder.next_error().map_or(Ok(()), |error| Err(format!("{error:?}")))
    }
}

fn hevc_luma(frame: rust_h265::Frame) -> Luma {
    let down = u32::from(frame.bit_depth.saturating_sub(8));
    let bytes = match frame.y {
        PixelData::U8(bytes) => bytes,
        PixelData::U16(samples) => samples.into_iter().map(|sample| (sample >> down) as u8).collect(),
    };
    Luma { width: frame.width as usize, height: frame.height as usize, bytes }
}
