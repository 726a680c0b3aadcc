// The questions of the Curves step.

import * as api from '../api'
import { about } from '../bands/ask'
import type { components } from '../contract'
import type { OpenJob } from '../state'
import type { Answered, Reply } from '../types'
import type { CompareAnswer, ReadAs, Understood } from './types'

export const compare = (open: OpenJob, signal: AbortSignal): Promise<Reply<CompareAnswer>> =>
  api.ask('compare', about(open), signal)

/** What a file would be taken for; nothing is kept. */
export const understand = (bytes: Uint8Array, as: ReadAs): Promise<Reply<Understood>> =>
  api.understandCurve({ bytes: base64(bytes), read_as: as })

/** Bytes in JSON (RFC 4648). */
export function base64(bytes: Uint8Array): string {
  let text = ''
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000))
  return btoa(text)
}

export type ExplainAnswer = components['schemas']['AskExplainAnswer']
export type Account = components['schemas']['BenchAccount']
export type AccountFigure = components['schemas']['BenchAccountFigure']
export type FitAnswer = components['schemas']['BenchFitAnswer']
export type FitValue = components['schemas']['BenchFitValue']
export type TrimAnswer = components['schemas']['AskTrimAnswer']

/** Why a unit differs from an original, or from what is predicted. */
export const explain = (open: OpenJob, unit: string, tell: api.Progress, stop: AbortSignal): Promise<Reply<ExplainAnswer>> =>
  api.askLong('explain', { ...about(open), to: unit }, tell, stop)

/** The part values that a unit's curves show. */
export const fit = (open: OpenJob, unit: string, tell: api.Progress, stop: AbortSignal): Promise<Reply<FitAnswer>> =>
  api.askLong('fit', { ...about(open), unit }, tell, stop)

export interface TrimQuestion {
  unit: string // as its curves show it; '': as the job's parts are
  drawer?: string
  capacitors?: string
  resistors?: string
  limit_centre: string
  limit_boost: string
  most: number
}

export const trim = (open: OpenJob, q: TrimQuestion, tell: api.Progress, stop: AbortSignal): Promise<Reply<TrimAnswer>> =>
  api.askLong('trim', { ...about(open), ...q }, tell, stop)

/** The job with those trims in it. */
export const keepTrims = (open: OpenJob, q: TrimQuestion): Promise<Answered> => api.keepFound('trim', { ...about(open), ...q })

export type RecordingAnswer = components['schemas']['BenchRecordingAnswer']
export type TakeRead = components['schemas']['BenchTakeRead']
export type TakesAnswer = components['schemas']['AskTakesAnswer']
export type RecordingRow = components['schemas']['ShopRecordingRow']
export type Written = components['schemas']['Written']

/** Which curves recordings hold. */
export const recording = (job: string, q: object, tell: api.Progress, stop: AbortSignal): Promise<Reply<RecordingAnswer>> =>
  api.askLong('recording', { job, ...q }, tell, stop)

/** What to record of the job, and how to wire for it. */
export const takes = (open: OpenJob, rate: string): Promise<Reply<TakesAnswer>> =>
  api.ask('takes', { ...about(open), rate: Number(rate) })
