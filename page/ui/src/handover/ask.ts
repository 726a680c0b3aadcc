// The question of the Hand-over step.

import * as api from '../api'
import type { components } from '../contract'
import type { Reply } from '../types'

export type RecordAnswer = components['schemas']['AskRecordAnswer']
export type RecordMissing = components['schemas']['AskRecordMissing']

/** The record of what is on the disk, as the package that is taken is made of. */
export const record = (job: string, tell: api.Progress, signal: AbortSignal): Promise<Reply<RecordAnswer>> =>
  api.askLong('record', { job }, tell, signal)
