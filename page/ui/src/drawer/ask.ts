// The questions of the Parts step.

import * as api from '../api'
import { about } from '../bands/ask'
import type { OpenJob } from '../state'
import { Trouble, type Answered, type Reply } from '../types'
import type { ChooseAnswer, ChooseQuestion, DrawerAnswer, Mapping } from './types'

const file = 'drawer.csv'

/** The drawer's file beside the job; blank where there is none. */
export async function drawerText(job: string): Promise<api.Kept> {
  try {
    return await api.getFile(job, file)
  } catch (error) {
    if (error instanceof Trouble && error.status === 404) return { text: '', tag: '' }
    throw error
  }
}

/** Puts a text in the place of the drawer that was read. */
export const keepDrawer = (job: string, text: string, tag: string): Promise<string> => api.putFile(job, file, text, tag)

/** What a text of the drawer says. */
export const drawer = (job: string, text: string, mapping?: Mapping): Promise<Reply<DrawerAnswer>> =>
  api.ask('drawer', { job, csv: text, ...(mapping === undefined ? {} : { mapping }) })

export const choose = (open: OpenJob, q: ChooseQuestion, tell: api.Progress, stop: AbortSignal): Promise<Reply<ChooseAnswer>> =>
  api.askLong('choose', { ...about(open), ...q }, tell, stop)

/** The job with those very parts in it. */
export const keepChosen = (open: OpenJob, q: ChooseQuestion): Promise<Answered> =>
  api.keepFound('choose', { ...about(open), ...q })
