package sweep

import "bandwright/finding"

// What keeps a take from being read. frame counts from 0, seconds from the
// recording's start, channels from 1.
const (
	// IDSignal: a test signal that cannot be. Args: what ("rate", "start", "stop",
	// "seconds", "level", …), read, low, high (all float64, in the base unit).
	IDSignal finding.ID = "sweep.signal"
	// IDNoChannel: Args: channel (int), channels (int, in the recording).
	IDNoChannel finding.ID = "sweep.no-such-channel"
	// IDNoMarks: the test signal is not in the recording. Args: seconds (its length).
	IDNoMarks finding.ID = "sweep.no-marks"
	// IDWrongRate: the recording runs at another speed than its head says.
	// Args: rate (the head's, hertz, float64), likely (the true one, hertz, float64).
	IDWrongRate finding.ID = "sweep.wrong-rate"
	// IDTakeCut: the recording ends inside a take. Args: frame (where it ends),
	// seconds, missing (seconds).
	IDTakeCut finding.ID = "sweep.take-cut"
	// IDMarkLost: the mark after the sweep is not where it should be, though the
	// recording goes on. Args: frame, seconds (of the mark before the sweep).
	IDMarkLost finding.ID = "sweep.mark-lost"
	// IDTakeLate: the recording begins inside a take. Args: frame, seconds (of
	// the mark after its sweep).
	IDTakeLate finding.ID = "sweep.take-late"
	// IDNotFinite: a sample is no number. Args: frame, seconds, channel, count (int).
	IDNotFinite finding.ID = "sweep.not-finite"
	// IDClipped: samples held at full scale or cut flat. Args: frame, seconds,
	// channel, count (places, int), level (dBFS).
	IDClipped finding.ID = "sweep.clipped"
	// IDDropout: a stretch of nothing inside the sweep. Args: frame, seconds,
	// channel, frames (its length, int).
	IDDropout finding.ID = "sweep.dropout"
	// IDJump: the sound jumps; samples were lost, doubled or struck. Args: frame,
	// seconds, channel, count (places, int), lost (frames, float64, from the marks'
	// distance; below 0: too many).
	IDJump finding.ID = "sweep.jump"
	// IDLost: the marks are too far apart or too near for any two clocks. Args:
	// frame, seconds (of the first mark), lost (frames, float64), ppm.
	IDLost finding.ID = "sweep.frames-lost"
	// IDSwapped: the reference carries the amp's response and the other channel
	// the loopback. Args: channel, reference (int), db (unevenness of the reference).
	IDSwapped finding.ID = "sweep.swapped"
	// IDQuiet: next to nothing arrived. Args: channel, db (level over the noise).
	IDQuiet finding.ID = "sweep.too-quiet"
	// IDLoopbackRate: the stored loopback has another rate. Args: rate, loopback (hertz, int).
	IDLoopbackRate finding.ID = "sweep.loopback-rate"
	// IDLoopbackTake: the stored loopback cannot be read; its own findings stand
	// beside. Args: none.
	IDLoopbackTake finding.ID = "sweep.loopback-take"
	// IDDivider: ohms that cannot be. Args: what ("source", "top", "bottom",
	// "input", "capacitance"), read.
	IDDivider finding.ID = "sweep.divider"
	// IDGrids: two results that do not share their frequencies. Args: none.
	IDGrids finding.ID = "sweep.grids-differ"
)

// What a result is to be looked at for; it stands.
const (
	// IDTakeMissing (warning): a setting of the signal is not in the recording.
	// Args: number (of the take, from 1). Place: the setting.
	IDTakeMissing finding.ID = "sweep.take-missing"
	// IDReferenceUneven (warning): the loopback is not flat. Args: db, reference (int).
	IDReferenceUneven finding.ID = "sweep.reference-uneven"
	// IDNoLoopback (warning): nothing to take the interface's own response and
	// level out with. Args: none.
	IDNoLoopback finding.ID = "sweep.no-loopback"
	// IDNoise (warning): points that noise moves by more than 0.1 dB. Args: points,
	// of (int), hz (of the worst), db (its deviation).
	IDNoise finding.ID = "sweep.noise"
	// IDDelayFitted (note): the delay of a take without reference was chosen to
	// suit its gain. Args: seconds.
	IDDelayFitted finding.ID = "sweep.delay-fitted"
	// IDPhaseUnknown (warning): the clocks differ and were left so. Args: ppm, hz (from here on).
	IDPhaseUnknown finding.ID = "sweep.phase-unknown"
	// IDSameSetting (warning): a difference of two takes at one setting. Place: the setting. Args: none.
	IDSameSetting finding.ID = "sweep.same-setting"
	// IDLevels (warning): a difference of two takes at different levels. Args: first, second (dBFS).
	IDLevels finding.ID = "sweep.levels-differ"
)
