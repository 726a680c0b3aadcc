// The questions of the Volts step.

import * as api from '../api'
import { about } from '../bands/ask'
import type { components } from '../contract'
import type { OpenJob } from '../state'
import type { Reply } from '../types'

type Schemas = components['schemas']
export type PowerUp = Schemas['BenchFirstVoltsAnswer']
export type StageVolts = Schemas['BenchStageVolts']
export type StageBand = Schemas['BenchStageBand']
export type StageBefore = Schemas['BenchStageBefore']
export type Feed = Schemas['BenchFeedAnswer']
export type FeedPart = Schemas['BenchFeedPart']

export interface PowerUpQuestion {
  open: OpenJob
  stage: string
  current: string // that the bench supply shows
}

export const powerUp = (q: PowerUpQuestion, signal: AbortSignal): Promise<Reply<PowerUp>> =>
  api.ask('powerup', { ...about(q.open), stage: q.stage, current: q.stage === 'bench' ? q.current : '' }, signal)

export const feed = (open: OpenJob, signal: AbortSignal): Promise<Reply<Feed>> => api.ask('feed', about(open), signal)
