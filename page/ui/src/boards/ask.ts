// The questions of the Boards step.

import * as api from '../api'
import { about } from '../bands/ask'
import type { components } from '../contract'
import type { OpenJob } from '../state'
import type { Findings, Reply } from '../types'

export type PanelAnswer = components['schemas']['BenchPanelAnswer']
export type DrillAnswer = components['schemas']['BenchDrillAnswer']
export type TabAnswer = components['schemas']['BenchTabAnswer']

export interface Metal {
  panel: Reply<PanelAnswer> | null // null: the job says nothing of it
  drill: Reply<DrillAnswer> | null
  tab: Reply<TabAnswer> | null
}

/** What the job says of its metalwork. */
export interface Said {
  open: OpenJob
  panel: boolean
  tab: boolean
}

export async function metal({ open, panel, tab }: Said, signal: AbortSignal): Promise<Metal> {
  const put = <T>(question: string, is: boolean): Promise<Reply<T> | null> => (is ? api.ask<T>(question, about(open), signal) : Promise.resolve(null))
  const [p, d, t] = await Promise.all([put<PanelAnswer>('panel', panel), put<DrillAnswer>('drill', panel), put<TabAnswer>('tab', tab)])
  return { panel: p, drill: d, tab: t }
}

const same = (a: Findings[number], b: Findings[number]): boolean => a.id === b.id && a.say === b.say

/** Findings of one that the other has not. */
export const beyond = (list: Findings, other: Findings): Findings => list.filter((f) => !other.some((o) => same(f, o)))
