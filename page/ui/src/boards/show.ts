// Figures of the metalwork as the command writes them.

/** A length in millimetres, to a hundredth. */
export function mm(x: number): string {
  const text = Math.abs(x).toFixed(2)
  return `${x < 0 && Number(text) !== 0 ? '−' : ''}${text} mm`
}

/** The same with its sign, where it is a deviation. */
export const signedMm = (x: number): string => (Number(x.toFixed(2)) > 0 ? `+${mm(x)}` : mm(x))

/** A mark of a dB scale, with the decimals it has. */
export function mark(db: number): string {
  const text = String(Number(Math.abs(db).toFixed(1)))
  return db === 0 ? '0' : `${db < 0 ? '−' : '+'}${text}`
}

/** Where a tongue stands against its slot. */
export function fit(s: { cut: boolean; fits: boolean; fits_alone: boolean }): 'cut' | 'fits' | 'alone' | 'not' {
  if (s.cut) return 'cut'
  if (s.fits) return 'fits'
  return s.fits_alone ? 'alone' : 'not'
}
