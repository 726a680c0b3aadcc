// The question for causes.

import * as api from '../api'
import { about } from '../bands/ask'
import type { components } from '../contract'
import type { OpenJob } from '../state'
import { draftOf } from '../state'
import type { Reply } from '../types'
import { entered, planText, written } from './entry'

export type FaultsAnswer = components['schemas']['BenchFaultsAnswer']

/** The stages at which the whole is there; what was read at another was read of
 * another circuit. */
const whole = ['', 'complete', 'mains']

/** What may be wrong, by all that was read; the server keeps its table of causes
 * as long as only readings change. */
export function faults(open: OpenJob, tell: api.Progress, signal: AbortSignal): Promise<Reply<FaultsAnswer>> {
  const taken = entered(draftOf(open).view).filter((r) => whole.includes(r.stage) && r.value !== '')
  return api.askLong('faults', { ...about(open, planText(open)), no_job: true, reading: taken.map(written), suggest: 3 }, tell, signal)
}
