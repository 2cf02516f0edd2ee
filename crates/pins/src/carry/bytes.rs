//! Numbers as bytes: little-endian words, variable-length counts, a checksum.

use super::CarryError;
use alloc::vec::Vec;
use core::ops::Range;

/// FNV-1a over bytes, 64 bits: finds damage, not malice.
pub(crate) fn checksum(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |h, &b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

/// Appends a count, seven bits a byte, low bits first.
pub(crate) fn put_count(out: &mut Vec<u8>, mut n: u32) {
    while n > 0x7f {
        out.push(n as u8 | 0x80);
        n >>= 7;
    }
    out.push(n as u8);
}

/// Opens the bytes of a shard: what it was made with, what it covers, and the rest to read on.
pub(crate) fn open_shard(bytes: &[u8], magic: [u8; 8]) -> Result<(u64, Range<u32>, Cursor<'_>), CarryError> {
    let mut from = Cursor(checked(bytes)?);
    if from.array::<8>()? != magic {
        return Err(CarryError::NotATable);
    }
    let (fingerprint, start, end) = (from.u64()?, from.u32()?, from.u32()?);
    Ok((fingerprint, start..end, from))
}

/// Reads from the front of a slice.
pub(crate) struct Cursor<'a>(pub &'a [u8]);

impl<'a> Cursor<'a> {
    pub fn take(&mut self, n: usize) -> Result<&'a [u8], CarryError> {
        if n > self.0.len() {
            return Err(CarryError::CutShort);
        }
        let (head, rest) = self.0.split_at(n);
        self.0 = rest;
        Ok(head)
    }

    pub fn array<const N: usize>(&mut self) -> Result<[u8; N], CarryError> {
        let mut out = [0; N];
        out.copy_from_slice(self.take(N)?);
        Ok(out)
    }

    pub fn u16(&mut self) -> Result<u16, CarryError> {
        Ok(u16::from_le_bytes(self.array()?))
    }

    pub fn u32(&mut self) -> Result<u32, CarryError> {
        Ok(u32::from_le_bytes(self.array()?))
    }

    pub fn u64(&mut self) -> Result<u64, CarryError> {
        Ok(u64::from_le_bytes(self.array()?))
    }

    pub fn f64(&mut self) -> Result<f64, CarryError> {
        Ok(f64::from_le_bytes(self.array()?))
    }

    pub fn count(&mut self) -> Result<u32, CarryError> {
        let mut n = 0;
        for shift in (0..35).step_by(7) {
            let byte = self.array::<1>()?[0];
            n |= u64::from(byte & 0x7f) << shift;
            if byte < 0x80 {
                return u32::try_from(n).map_err(|_| CarryError::Damaged);
            }
        }
        Err(CarryError::Damaged)
    }
}

/// Splits off and checks the checksum at the end.
pub(crate) fn checked(bytes: &[u8]) -> Result<&[u8], CarryError> {
    let Some(split) = bytes.len().checked_sub(8) else { return Err(CarryError::CutShort) };
    let (body, tail) = bytes.split_at(split);
    if Cursor(tail).u64()? == checksum(body) { Ok(body) } else { Err(CarryError::Damaged) }
}

/// Appends the checksum of what is there.
pub(crate) fn seal(mut bytes: Vec<u8>) -> Vec<u8> {
    let sum = checksum(&bytes);
    bytes.extend_from_slice(&sum.to_le_bytes());
    bytes
}
