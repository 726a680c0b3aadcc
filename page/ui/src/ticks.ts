// The ticks of the axes, the very ones of the printed sheet: a test holds them
// against the paper's own.

export interface Tick {
  value: number
  label: string // '' for a fine one
  major: boolean
}

/** Every whole multiple of each decade, labelled at one, two and five. */
export function frequencyTicks(low: number, high: number): Tick[] {
  const ticks: Tick[] = []
  for (let decade = Math.floor(Math.log10(low)); ; decade++) {
    for (let digit = 1; digit <= 9; digit++) {
      const value = Number(`${digit}e${decade}`)
      if (value > high) return ticks
      if (value < low) continue
      const major = digit === 1 || digit === 2 || digit === 5
      ticks.push({ value, label: major ? kilo(value) : '', major })
    }
  }
}

const kilo = (hz: number): string => (hz >= 1000 ? `${hz / 1000}k` : `${hz}`)

/** The ticks of a level axis that shows at least low to high, its ends whole
 * labelled ticks, with at most `most` labels. */
export function decibelTicks(low: number, high: number, most: number): Tick[] {
  for (let decade = Math.floor(Math.log10((high - low) / most)); ; decade++) {
    for (const digit of [1, 2, 5]) {
      const step = Number(`${digit}e${decade}`)
      // A hair is forgiven, so that 3 · 0.1 is no more than 0.3.
      const first = Math.floor(low / step + 1e-9)
      const last = Math.ceil(high / step - 1e-9)
      if (last - first + 1 <= most) return levels(first, last, digit, decade)
    }
  }
}

function levels(first: number, last: number, digit: number, decade: number): Tick[] {
  const parts = digit === 2 ? 4 : 5
  const ticks: Tick[] = []
  for (let i = first * parts; i <= last * parts; i++) {
    const major = i % parts === 0
    const value = major ? Number(`${(i / parts) * digit}e${decade}`) : (i * digit * Number(`1e${decade}`)) / parts
    ticks.push({ value: value === 0 ? 0 : value, label: major ? signed(value, Math.max(0, -decade)) : '', major })
  }
  return ticks
}

/** A level with its sign, the minus a true one. */
export function signed(x: number, places: number): string {
  const text = Math.abs(x).toFixed(places)
  if (Number(text) === 0) return text
  return x < 0 ? `−${text}` : `+${text}`
}

/** As long as one decade of frequency, decibels (IEC 60263). */
export const decadeDB = 25
