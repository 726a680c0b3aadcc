// The questions of the Curves step.

import * as api from '../api'
import { about } from '../bands/ask'
import type { OpenJob } from '../state'
import type { Reply } from '../types'
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
