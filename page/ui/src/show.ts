// Values as the bench writes them, with the prefixes the program's own tables
// use. Writing only: nothing is worked out here.

type Step = readonly [from: number, exponent: number, prefix: string]

const steps: Record<string, readonly Step[]> = {
  Ω: [[12, 12, 'T'], [9, 9, 'G'], [6, 6, 'M'], [3, 3, 'k'], [-2, 0, ''], [-5, -3, 'm'], [-99, -6, 'µ']],
  F: [[0, 0, ''], [-6, -6, 'µ'], [-9, -9, 'n'], [-99, -12, 'p']],
  H: [[0, 0, ''], [-3, -3, 'm'], [-6, -6, 'µ'], [-99, -9, 'n']],
  Hz: [[9, 9, 'G'], [6, 6, 'M'], [3, 3, 'k'], [-99, 0, '']],
  V: [[3, 3, 'k'], [0, 0, ''], [-3, -3, 'm'], [-99, -6, 'µ']],
  A: [[0, 0, ''], [-3, -3, 'm'], [-99, -6, 'µ']],
  W: [[0, 0, ''], [-3, -3, 'm'], [-99, -6, 'µ']],
}

const unitOf: Record<string, string> = { coil: 'H', capacitor: 'F', resistor: 'Ω' }

/** A value in its unit, to so many significant digits, closing zeros dropped. */
export function shown(value: number, unit: string, digits = 4): string {
  if (value === 0) return `0 ${unit}`
  const [mantissa = '0', exponent = '0'] = Math.abs(value).toExponential(digits - 1).split('e')
  const exp = Number(exponent)
  const [, base, prefix] = steps[unit]?.find(([from]) => exp >= from) ?? [0, 0, '']
  const text = String(Number(`${mantissa}e${exp - base}`))
  return `${value < 0 ? '−' : ''}${text} ${prefix}${unit}`
}

/** A part's value by its kind: coil, capacitor or resistor. */
export const partValue = (kind: string, value: number | undefined): string =>
  value === undefined || value === 0 ? '' : shown(value, unitOf[kind] ?? '')

/** A frequency as bands are spoken of: hertz throughout, a tenth below 1 kHz. */
export const hertz = (hz: number): string => `${hz.toFixed(hz < 1000 ? 1 : 0)} Hz`

/** Decibels with their sign. */
export function decibels(db: number, places = 2): string {
  const text = Math.abs(db).toFixed(places)
  const sign = Number(text) === 0 ? '' : db < 0 ? '−' : '+'
  return `${sign}${text} dB`
}

/** A share as per cent, with a sign where it is a deviation. */
export const percent = (share: number, places = 1): string => `${(100 * share).toFixed(places)} %`

export function deviation(percent: number, places = 1): string {
  const text = Math.abs(percent).toFixed(places)
  const sign = Number(text) === 0 ? '' : percent < 0 ? '−' : '+'
  return `${sign}${text} %`
}
