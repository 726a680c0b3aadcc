// Where the sliders and switches stand, and how it is written for the server:
// "63=+1,400=-0.5,lift", the same words the command reads.

export type Signal = 'in' | 'lifted' | 'bypassed'

export interface Setting {
  sliders: Readonly<Record<string, number>> // −1 cut … +1 boost
  signal: Signal
}

export function centred(bands: readonly string[]): Setting {
  return { sliders: Object.fromEntries(bands.map((b) => [b, 0])), signal: 'in' }
}

export function moved(setting: Setting, band: string, to: number): Setting {
  const position = Math.round(Math.min(1, Math.max(-1, to)) * 1000) / 1000
  return { ...setting, sliders: { ...setting.sliders, [band]: position === 0 ? 0 : position } }
}

export const isFlat = (s: Setting): boolean => Object.values(s.sliders).every((x) => x === 0)

/** The setting in the job's own words; bands in the order given. */
export function written(setting: Setting, bands: readonly string[] = Object.keys(setting.sliders)): string {
  const words = bands.flatMap((band) => {
    const x = setting.sliders[band] ?? 0
    return x === 0 ? [] : [`${band}=${x > 0 ? '+' : ''}${x}`]
  })
  if (setting.signal === 'lifted') words.push('lift')
  if (setting.signal === 'bypassed') words.push('bypass')
  return words.length === 0 ? 'flat' : words.join(',')
}
