package sweep

import "bandwright/finding"

// What keeps a recording from being read at all. byte counts from 0.
const (
	// IDEmpty: no bytes. Args: none.
	IDEmpty finding.ID = "sweep.empty"
	// IDNotWAV: another kind of file. Args: kind ("MP3", "FLAC", "text", …).
	IDNotWAV finding.ID = "sweep.not-a-wav"
	// IDNoFormat: no format chunk. Args: chunks (the names that were found).
	IDNoFormat finding.ID = "sweep.no-format"
	// IDFormatShort: the format chunk breaks off. Args: byte, bytes (its length, int).
	IDFormatShort finding.ID = "sweep.format-short"
	// IDEncoding: neither PCM nor float. Args: byte, encoding (a name or "number 0x…").
	IDEncoding finding.ID = "sweep.encoding"
	// IDDepth: a depth that is not read. Args: byte, bits (int), float (bool).
	IDDepth finding.ID = "sweep.depth"
	// IDChannels: none, or more than 32. Args: byte, channels (int).
	IDChannels finding.ID = "sweep.channels"
	// IDRate: no sampling rate of sound. Args: byte, rate (hertz).
	IDRate finding.ID = "sweep.rate"
	// IDNoData: no sound in the file. Args: chunks (the names that were found).
	IDNoData finding.ID = "sweep.no-data"
	// IDNoSamples: the data chunk holds no whole frame. Args: byte, bytes (int).
	IDNoSamples finding.ID = "sweep.no-samples"
	// IDUnreadable: the file gives an error while it is read. Args: byte, why.
	IDUnreadable finding.ID = "sweep.unreadable"
)

// What was mended while reading; the recording stands.
const (
	// IDDataCut (warning): the file ends before its sound does. Args: byte
	// (where it ends), frames (left, int), missing (frames, int), seconds (left).
	IDDataCut finding.ID = "sweep.data-cut"
	// IDDataOpen (note): the length of the sound is not written, as when it was
	// streamed; all to the end is taken. Args: byte, frames (int).
	IDDataOpen finding.ID = "sweep.data-open"
	// IDFrameCut (warning): the sound ends inside a frame. Args: byte, bytes (left out, int).
	IDFrameCut finding.ID = "sweep.frame-cut"
	// IDChunkCut (warning): a chunk reaches beyond the file. Args: byte, chunk, bytes (missing, int).
	IDChunkCut finding.ID = "sweep.chunk-cut"
	// IDPadding (warning): the padding byte after a chunk of odd length is
	// missing, or one too many. Args: byte, chunk (the one before).
	IDPadding finding.ID = "sweep.padding"
	// IDGarbled (warning): bytes that are no chunk were passed over. Args: byte, bytes (int).
	IDGarbled finding.ID = "sweep.garbled"
	// IDTrailing (note): bytes after the last chunk. Args: byte, bytes (int).
	IDTrailing finding.ID = "sweep.trailing"
	// IDAlign (warning): the frame's length does not fit its channels and bits.
	// Args: byte, read (int), taken (int), both bytes a frame.
	IDAlign finding.ID = "sweep.frame-length"
	// IDByteRate (note): bytes a second do not fit. Args: byte, read (int), right (int).
	IDByteRate finding.ID = "sweep.byte-rate"
	// IDValidBits (warning): more bits valid than there are. Args: byte, valid (int), bits (int).
	IDValidBits finding.ID = "sweep.valid-bits"
	// IDExtensionShort (warning): the extensible format lacks its extension and
	// was taken as PCM. Args: byte.
	IDExtensionShort finding.ID = "sweep.extension-short"
	// IDSecondChunk (warning): a chunk that may stand once came again; the
	// first counts. Args: byte, chunk.
	IDSecondChunk finding.ID = "sweep.second-chunk"
	// IDNo64 (warning): an RF64 file without its long lengths. Args: byte.
	IDNo64 finding.ID = "sweep.no-long-lengths"
)

// What a recording to be written cannot be.
const (
	// IDFormat: a format that is not written. Args: what ("rate", "channels", "bits"), read (int).
	IDFormat finding.ID = "sweep.format"
)
