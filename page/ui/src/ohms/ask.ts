// The question of the Ohms step.

import * as api from '../api'
import { about } from '../bands/ask'
import type { components } from '../contract'
import { entered, planText, written } from '../readings/entry'
import { draftOf, type OpenJob } from '../state'
import type { Reply } from '../types'

export type OhmsAnswer = components['schemas']['BenchOhmsAnswer']
export type OhmsRow = components['schemas']['BenchOhmsRow']
export type OhmsFault = components['schemas']['BenchOhmsFault']

export interface OhmsQuestion {
  open: OpenJob
  stage: string
  list: string
}

/** The list with what was read of its stage: the text stays the one the list was
 * chosen for, and the readings go beside it. */
export function ohms(q: OhmsQuestion, tell: api.Progress, signal: AbortSignal): Promise<Reply<OhmsAnswer>> {
  const taken = entered(draftOf(q.open).view).filter((r) => r.kind === 'ohms' && r.value !== '' && (r.stage === q.stage || r.stage === ''))
  return api.askLong('ohms', { ...about(q.open, planText(q.open)), stage: q.stage, list: q.list, no_job: true, reading: taken.map(written) }, tell, signal)
}
