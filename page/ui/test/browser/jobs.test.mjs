// The folder of jobs and what may happen to it behind the page's back: copied,
// put away and taken back out; a file that another hand changed; a drawer of
// ten thousand parts.

import assert from 'node:assert/strict'
import { readFile, writeFile } from 'node:fs/promises'
import path from 'node:path'
import { after, before, test } from 'node:test'
import { browse, open, serve, until } from './stage.mjs'

let server, browser

before(async () => {
  server = await serve({ demo: true })
  browser = await browse()
})

after(async () => {
  await browser?.close()
  await server?.end()
})

/** One test on a page of its own. */
function on(name, does, expected = []) {
  test(name, async () => {
    const { context, page, complaints } = await open(browser, { viewport: { width: 1280, height: 900 } })
    await page.goto(server.address)
    await page.getByRole('heading', { name: 'Jobs' }).waitFor()
    await does(page)
    assert.deepEqual(complaints, expected)
    await context.close()
  })
}

const count = (page, name) => page.getByRole('button', { name }).count()

on('a job is duplicated, archived and restored', async (page) => {
  await page.getByRole('button', { name: /^Duplicate / }).first().click()
  await until(async () => (await count(page, /^Archive /)) === 2, 'there is no copy')
  await page.getByRole('button', { name: /^Archive / }).first().click()
  await page.getByText('Archived (1)').click()
  await page.getByRole('button', { name: /^Restore / }).click()
  await until(async () => (await count(page, /^Archive /)) === 2, 'it was not taken back out')
  await page.getByRole('button', { name: /^Archive / }).first().click()
  await page.getByText('Archived (1)').waitFor()
})

on('what another hand wrote is not overwritten', async (page) => {
  await page.getByRole('button', { name: /^Open / }).first().click()
  await page.getByRole('heading', { name: 'Job ticket' }).waitFor()
  const id = decodeURIComponent(new URL(page.url()).hash.slice(1))
  const file = path.join(server.folder, id, 'job.toml')
  const theirs = (await readFile(file, 'utf8')).replace(/^price = .*$/m, 'price = "changed elsewhere"')
  await writeFile(file, theirs)
  await page.getByLabel('agreed by', { exact: true }).fill('somebody else (invented)')
  await page.getByLabel('agreed by', { exact: true }).press('Enter')
  await page.getByRole('heading', { name: 'The file was changed elsewhere' }).waitFor()
  assert.equal(await readFile(file, 'utf8'), theirs)
  await page.getByRole('button', { name: 'Keep mine as a copy, open the copy' }).click()
  await page.getByRole('status').filter({ hasText: /^saved$/ }).waitFor()
  await until(() => decodeURIComponent(new URL(page.url()).hash.slice(1)) !== id, 'the copy is not open')
  const copy = decodeURIComponent(new URL(page.url()).hash.slice(1))
  await until(async () => (await readFile(path.join(server.folder, copy, 'job.toml'), 'utf8')).includes('somebody else'), 'the copy has not what was typed')
  assert.equal(await readFile(file, 'utf8'), theirs)
}, ['error: Failed to load resource: the server responded with a status of 409 (Conflict)'])

on('a drawer of ten thousand parts draws what is in sight', async (page) => {
  const [id] = (await (await fetch(new URL('api/jobs', server.address))).json()).filter((j) => !j.archived).map((j) => j.id)
  const rows = Array.from({ length: 10000 }, (_, i) => `bag ${i + 1},coil,${1 + (i % 90)}0 mH,10 %,shelf ${i % 40}`)
  await writeFile(path.join(server.folder, id, 'drawer.csv'), ['id,kind,value,tolerance,place', ...rows, ''].join('\n'))
  await page.goto(`${server.address}#${encodeURIComponent(id)}`)
  await page.reload()
  await page.getByRole('navigation').getByRole('button', { name: 'Parts' }).click()
  const region = page.getByRole('region', { name: 'Parts at hand, a table that scrolls' })
  await region.getByRole('button', { name: 'bag 1: enter a reading' }).waitFor()
  const drawn = () => region.getByRole('row').count()
  assert.ok((await drawn()) < 60, `${await drawn()} rows are drawn`)
  await region.evaluate((r) => r.scrollTo(0, r.scrollHeight))
  await region.getByRole('button', { name: 'bag 10000: enter a reading' }).waitFor()
  assert.ok((await drawn()) < 60, `${await drawn()} rows are drawn`)
  await page.getByLabel('Find').fill('7777')
  await page.getByRole('status').filter({ hasText: '1 to 1 of 10000' }).waitFor()
  await region.getByRole('button', { name: 'bag 7777: enter a reading' }).click()
  assert.equal(await page.getByLabel('marked', { exact: true }).inputValue(), '370 mH')
})
