// The question of the Wiring step.

import * as api from '../api'
import { about } from '../bands/ask'
import type { components } from '../contract'
import type { OpenJob } from '../state'
import type { Reply } from '../types'

type Schemas = components['schemas']
export type Runs = Schemas['BenchRunsAnswer']
export type RunLine = Schemas['BenchRunLine']
export type IntentLine = Schemas['BenchIntentLine']
export type IntentHas = Schemas['BenchIntentHas']

export const runs = (open: OpenJob, signal: AbortSignal): Promise<Reply<Runs>> => api.ask('runs', about(open), signal)
