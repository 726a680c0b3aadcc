// Every word the page shows, so that another language is another set of these.
// Each step has its own file; what several use stands in words/common.ts.

import { bands } from './words/bands'
import { boards } from './words/boards'
import { cause } from './words/cause'
import { common } from './words/common'
import { curves } from './words/curves'
import { handover } from './words/handover'
import { listen } from './words/listen'
import { ohms } from './words/ohms'
import { parts } from './words/parts'
import { readings } from './words/readings'
import { recordings } from './words/recordings'
import { ticket } from './words/ticket'
import { volts } from './words/volts'
import { wiring } from './words/wiring'

export const words = { ...common, bands, boards, cause, curves, handover, listen, ohms, parts, readings, recordings, ticket, volts, wiring }
