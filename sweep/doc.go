// Package sweep writes a test recording and reads curves out of the recording
// that came back: test signal out, recording in, curve.
//
// The test signal is the synchronised exponential sine of Novak, Lotton and
// Simon (J. Audio Eng. Soc. 63(10), 2015): x(t) = A sin{2π f1 L exp(t/L)}, in
// which every harmonic of the sine is the sine itself, earlier by L ln n. Each
// sweep stands between two marks, short chirps that are found in a recording of
// any length; their distance tells which setting the sweep belongs to, how far
// the two clocks differ, and whether samples were lost.
//
// Nothing here knows files: a recording is an io.ReaderAt, what is written goes
// to an io.Writer. Frequencies are in hertz, times in seconds, levels in dB.
package sweep
