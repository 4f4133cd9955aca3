//! FLAC, by the `flacenc` library, written block after block, so that a long file needs little memory.
//!
//! The encoder's own loop keeps the whole file in memory. This code asks it for one frame at a time and writes the
//! header last.

use std::io::{self, BufWriter, Seek, SeekFrom, Write};

use flacenc::bitsink::ByteSink;
use flacenc::component::{BitRepr, Stream, StreamInfo};
use flacenc::config::Encoder;
use flacenc::encode_fixed_size_frame;
use flacenc::error::Verify;
use flacenc::source::{Context, Fill, FrameBuf};

use super::form::{Depth, FileForm};
use super::samples::{BLOCK, Rounding, Watched, library_error};
use crate::store::disk::DiskFile;

/// Writes all samples. The header of the file is written last, since it counts them. Errors: the source was stopped, or
/// the file cannot be written.
pub(super) fn write(file: &mut DiskFile, form: FileForm, samples: &mut Watched<'_>) -> io::Result<()> {
    let bits = if form.depth == Depth::Sixteen { 16 } else { 24 };
    let rate = usize::try_from(form.rate.0).map_err(library_error)?;
    let config = Encoder::default().into_verified().map_err(|(_, error)| library_error(error))?;
    let mut info = StreamInfo::new(rate, 1, bits).map_err(library_error)?;
    let mut frame_buffer = FrameBuf::with_size(1, BLOCK).map_err(library_error)?;
    let mut context = Context::new(bits, 1);
    let mut rounding = Rounding::new(form.depth);
    let mut out = BufWriter::new(file);
    write_head(&mut out, &info)?;
    let mut block = [0.0; BLOCK];
    let mut whole = Vec::with_capacity(BLOCK);
    for number in 0.. {
        let made = samples.next(&mut block)?;
        if made == 0 {
            break;
        }
        whole.clear();
        whole.extend(block.iter().take(made).map(|sample| rounding.round(*sample)));
        frame_buffer.fill_interleaved(&whole).map_err(library_error)?;
        context.fill_interleaved(&whole).map_err(library_error)?;
        let frame = encode_fixed_size_frame(&config, &frame_buffer, number, &info).map_err(library_error)?;
        info.update_frame_info(&frame);
        let mut bytes = ByteSink::new();
        frame.write(&mut bytes).map_err(library_error)?;
        out.write_all(bytes.as_slice())?;
    }
    // All blocks except the last have the same size, and the header has to say so.
    info.set_block_sizes(BLOCK, BLOCK).map_err(library_error)?;
    info.set_md5_digest(&context.md5_digest());
    out.seek(SeekFrom::Start(0))?;
    write_head(&mut out, &info)?;
    out.flush()
}

fn write_head(out: &mut impl Write, info: &StreamInfo) -> io::Result<()> {
    let mut bytes = ByteSink::new();
    Stream::with_stream_info(info.clone()).write(&mut bytes).map_err(library_error)?;
    out.write_all(bytes.as_slice())
}
