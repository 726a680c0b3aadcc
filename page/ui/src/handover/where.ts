// Where an entry that the record lacks is made.

import { tick } from 'svelte'
import type { StepName } from '../state'
import { dispatch } from '../store.svelte'
import type { RecordMissing } from './ask'

export interface Place {
  step: StepName
  at: string // an element of that step; '': its beginning
}

/** Entries of the ticket among those of the record itself. */
const taken = ['owner', 'serial', 'taken_in', 'why']

/** The place of an entry; null: the page has none. */
export function whereIs({ key, of }: Pick<RecordMissing, 'key' | 'of'>): Place | null {
  const [table = '', entry = ''] = key.split('.')
  const field = `field-${table}-${entry}`
  switch (table) {
    case 'amp':
      return { step: 'ticket', at: 'field-amp' }
    case 'agreed':
    case 'found':
    case 'tap_in':
      return { step: 'ticket', at: field }
    case 'record':
      if (entry === 'photo') return { step: 'handover', at: 'photos-new' }
      return { step: taken.includes(entry) ? 'ticket' : 'handover', at: field }
    case 'left':
      return { step: 'handover', at: entry === 'volts' ? 'left-volts-new' : field }
    case 'safety':
      return { step: 'handover', at: field }
    case 'band':
      return { step: 'bands', at: `band-${of}` }
    case 'fitting':
      return { step: 'ticket', at: `fitting-${Number.parseInt(of, 10) - 1}` }
    case 'run':
    case 'moved':
      return { step: 'wiring', at: '' }
    case 'reading':
      return { step: entry === 'ohms' ? 'ohms' : 'volts', at: '' }
    case 'volts':
      return { step: 'volts', at: '' }
    case 'feed':
      return { step: 'volts', at: 'feed-head' }
    case 'curve':
      return { step: 'curves', at: 'bring-head' }
    default:
      return null
  }
}

/** Goes there; what stands in a band's parts is opened. */
export async function go({ step, at }: Place): Promise<void> {
  dispatch({ do: 'step', step })
  await tick()
  const place = await whenThere(at === '' ? 'work' : at)
  if (step === 'bands') place.click()
  place.scrollIntoView({ block: at === '' ? 'start' : 'center' })
  if (place.tabIndex < 0) place.tabIndex = -1
  place.focus({ preventScroll: true })
}

/** A place of the step that was gone to; some stand only once the server has
 * answered. */
function whenThere(at: string): Promise<HTMLElement> {
  const there = document.getElementById(at)
  if (there !== null) return Promise.resolve(there)
  return new Promise((found) => {
    const look = new MutationObserver(() => {
      const place = document.getElementById(at)
      if (place === null) return
      look.disconnect()
      found(place)
    })
    look.observe(document.body, { childList: true, subtree: true })
  })
}
