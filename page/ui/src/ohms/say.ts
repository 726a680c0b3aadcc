// A line of the ring-out list in words, as the printed sheet has it.

import { percent } from '../show'
import { words } from '../words'
import type { OhmsFault, OhmsRow } from './ask'

const w = words.ohms
const most = 6 // names on one line

/** What a line goes through, and so proves. */
export function proves(row: OhmsRow): string {
  if (row.open) return w.nothing
  const through = row.through ?? []
  const names = through.slice(0, most).map((s) => {
    const part = partName(s.part)
    return s.current_share > 0 && s.current_share < 0.9 ? w.share(part, percent(s.current_share, 0)) : part
  })
  return w.proves([...names, ...(through.length > most ? ['…'] : [])].join(', '))
}

function partName(part: string): string {
  if (part.startsWith('run.')) return w.run(part.slice(4))
  return part.startsWith('link.') ? w.link(part.slice(5)) : part
}

/** What a fault of the list is. */
export const slip = (f: OhmsFault): string => w.slip(f.slip, f.label.replaceAll('run.', 'run ').replaceAll('link.', 'link '))

/** The faults that would read as a line did. */
export function fits(row: OhmsRow, faults: readonly OhmsFault[]): string {
  const all = row.fits ?? []
  if (all.length === 0) return w.fitsNone
  const named = all.slice(0, most).flatMap((n) => faults.filter((f) => f.number === n).map(slip))
  return w.fits([...named, ...(all.length > most ? [w.more(all.length)] : [])].join('; '))
}
