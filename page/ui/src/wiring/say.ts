// The harness in words, as the printed sheet has it.

import { ohmsText } from '../readings/show'
import { decibels, hertz } from '../show'
import { words } from '../words'
import type { IntentHas, IntentLine, RunLine } from './ask'

const w = words.wiring

/** A length as wire is cut. */
export const millimetres = (metres: number | null): string =>
  metres === null ? w.runs.noLength : `${Number((1000 * metres).toPrecision(4))} mm`

/** At which end a screen is grounded; blank where there is none. */
export function screen(r: RunLine): string {
  const [lug = '', second = ''] = r.screen_at ?? []
  switch (r.screen) {
    case 'none':
      return w.screen.none
    case 'both':
      return w.screen.both(`${lug}, ${second}`)
    case 'from':
      return w.screen.at(lug, r.from, r.to)
    case 'to':
      return w.screen.at(lug, r.to, r.from)
  }
  return ''
}

/** What there is at an intent's points, and whether that is as it must be. */
export function has(line: IntentLine, is: IntentHas): string {
  const yes = is.holds ? w.intents.yes : w.intents.no
  if (is.db !== null) return `${yes}, ${w.intents.least(decibels(is.db, 1), hertz(is.hz ?? 0))}`
  if (is.ohms !== null) return `${yes}, ${ohmsText(is.ohms)}`
  return `${yes}, ${line.want === 'through' ? w.intents.nothing : w.intents.noPath}`
}
