// What every browser run stands on: the program serving a folder of its own on
// a free port, and Debian's Chromium with a fresh profile. Nothing here waits
// on a clock: the server says its address when it listens, and everything else
// is a condition of the page.

import { spawn } from 'node:child_process'
import { cp, mkdir, mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'

export const root = fileURLToPath(new URL('../../../../', import.meta.url))

/** Where pictures and figures go; not kept with the project. */
export const out = path.join(root, 'out', 'page')

export const program = process.env.BANDWRIGHT ?? path.join(root, 'bandwright')
const browserPath = process.env.CHROMIUM ?? '/usr/bin/chromium'

// Nothing leaves the machine, and a container needs no sandbox of its own.
const flags = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-dev-shm-usage',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
]

/** Longest wait for any one condition, on a machine that does other work. */
export const patience = Number(process.env.PATIENCE ?? 60_000)

/**
 * Starts the program on a folder that holds the invented demo job, if asked, or
 * another of its documents in that one's place.
 * @param {{ demo?: boolean, job?: string }} [want]
 */
export async function serve({ demo = false, job = '' } = {}) {
  const folder = await mkdtemp(path.join(tmpdir(), 'bandwright-page-'))
  const [from, to] = [path.join(root, 'demo', 'bass-head'), path.join(folder, 'bass-head')]
  if (demo || job !== '') await cp(from, to, { recursive: true })
  if (job !== '') await cp(path.join(from, job), path.join(to, 'job.toml'))
  const child = spawn(program, ['serve', folder, '--listen', '127.0.0.1:0'], { stdio: ['ignore', 'pipe', 'pipe'] })
  const said = []
  const started = performance.now()
  const address = await new Promise((resolve, reject) => {
    const look = (line) => {
      said.push(line)
      const found = line.match(/http:\/\/127\.0\.0\.1:\d+\S*/)
      if (found) resolve(found[0])
    }
    createInterface({ input: child.stdout }).on('line', look)
    createInterface({ input: child.stderr }).on('line', look)
    child.once('error', reject)
    child.once('exit', (code) => reject(new Error(`the server ended with ${code}:\n${said.join('\n')}`)))
  })
  return {
    address,
    folder,
    said,
    milliseconds: performance.now() - started,
    async end() {
      const gone = new Promise((resolve) => child.once('exit', resolve))
      if (child.exitCode === null) {
        child.kill('SIGINT')
        await gone
      }
      await rm(folder, { recursive: true, force: true })
    },
  }
}

/** Asks again and again until it is so; what says why, when it never is. */
export async function until(isSo, what) {
  for (const end = performance.now() + patience; !(await isSo()); ) {
    if (performance.now() > end) throw new Error(what)
    await new Promise((next) => setImmediate(next))
  }
}

/** Starts the browser; its profile is new and goes with it. */
export async function browse() {
  return chromium.launch({ executablePath: browserPath, headless: true, args: flags, timeout: patience })
}

/**
 * A page of a fresh profile. Whatever the page itself reports as wrong fails
 * the run at the end, by `complaints`.
 * @param {import('playwright-core').Browser} browser
 * @param {import('playwright-core').BrowserContextOptions} [options]
 */
export async function open(browser, options = {}) {
  const context = await browser.newContext({ reducedMotion: 'reduce', ...options })
  context.setDefaultTimeout(patience)
  const page = await context.newPage()
  const complaints = []
  page.on('pageerror', (error) => complaints.push(`error: ${error.stack ?? error.message}`))
  page.on('console', (m) => {
    // A job that has no drawer yet is no fault; the browser notes it all the same.
    if (m.location().url.endsWith('/drawer.csv')) return
    if (m.type() === 'error' || m.type() === 'warning') complaints.push(`${m.type()}: ${m.text()}`)
  })
  page.on('request', (r) => {
    const url = new URL(r.url())
    if (url.hostname !== '127.0.0.1' && !['data:', 'blob:', 'about:'].includes(url.protocol)) {
      complaints.push(`asked the web: ${r.url()}`)
    }
  })
  return { context, page, complaints }
}

/** Keeps a picture of the page under out/page. */
export async function picture(page, name, fullPage = true) {
  await mkdir(out, { recursive: true })
  await page.screenshot({ path: path.join(out, `${name}.png`), fullPage, animations: 'disabled' })
}
