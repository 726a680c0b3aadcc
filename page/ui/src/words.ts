// Every word the page shows, so that another language is another set of these.
// Each step has its own file; what several use stands in words/common.ts.

import { bands } from './words/bands'
import { common } from './words/common'
import { curves } from './words/curves'
import { handover } from './words/handover'
import { parts } from './words/parts'
import { ticket } from './words/ticket'

export const words = { ...common, bands, curves, handover, parts, ticket }
