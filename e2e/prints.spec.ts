import { readFileSync } from 'node:fs'
import type { Page } from '@playwright/test'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

interface Sheet {
  width: number
  height: number
  lines: string[]
}

interface Run {
  x: number
  end: number
  text: string
}

/** Runs of a line as a reader sees them: a gap of a point or more parts words. */
function joined(runs: readonly Run[]): string {
  return runs
    .map((run, at) => (at > 0 && run.x - runs[at - 1]!.end > 1 ? ` ${run.text}` : run.text))
    .join('')
    .replace(/\s+/g, ' ')
    .trim()
}

/** The pages of a PDF as their lines of text, from the top down. */
async function pagesOf(bytes: Uint8Array): Promise<Sheet[]> {
  const task = getDocument({ data: new Uint8Array(bytes), verbosity: 0 })
  const pdf = await task.promise
  const pages: Sheet[] = []
  for (let number = 1; number <= pdf.numPages; number++) {
    const page = await pdf.getPage(number)
    const lines = new Map<number, Run[]>()
    for (const item of (await page.getTextContent()).items) {
      if (!('str' in item)) continue
      const [x, y] = item.transform.slice(4) as [number, number]
      lines.set(Math.round(y), [...(lines.get(Math.round(y)) ?? []), { x, end: x + item.width, text: item.str }])
    }
    const [, , width, height] = page.view as [number, number, number, number]
    const read = [...lines]
      .sort(([above], [below]) => below - above)
      .map(([, parts]) => joined(parts.sort((left, right) => left.x - right.x)))
    pages.push({ width, height, lines: read.filter((line) => line !== '') })
  }
  await task.destroy()
  return pages
}

/** As the browser prints it, without backgrounds, as browsers do unless told otherwise. */
async function printed(page: Page, format: 'A4' | 'Letter'): Promise<Sheet[]> {
  return pagesOf(await page.pdf({ format, printBackground: false }))
}

const SIZES = { A4: [595, 842], Letter: [612, 792] } as const

/** Foot on each page, the paper that was chosen, nothing of the screen on it. */
async function expectGoodPaper(page: Page, foot: string): Promise<Sheet[]> {
  let sheets: Sheet[] = []
  for (const format of ['Letter', 'A4'] as const) {
    sheets = await printed(page, format)
    for (const [at, sheet] of sheets.entries()) {
      const [width, height] = SIZES[format]
      expect(Math.abs(sheet.width - width) + Math.abs(sheet.height - height)).toBeLessThan(3)
      expect(sheet.lines.at(-1)).toContain(foot)
      expect(sheet.lines.at(-1)).toMatch(new RegExp(`printed \\d+ \\w+ \\d{4}, page ${at + 1} of ${sheets.length}$`))
      expect(sheet.lines.join('\n')).not.toMatch(/Back to the|Sign out|Skip to/)
    }
  }
  return sheets
}

/** The newest job of the list that says this. */
async function jobOf(page: Page, says: RegExp): Promise<{ href: string; number: string }> {
  await page.goto('/jobs')
  const link = page.getByRole('row').filter({ hasText: says }).getByRole('link').first()
  const href = (await link.getAttribute('href'))!
  await page.goto(href)
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(/^Job \d+/)
  const number = /\d+/.exec((await page.getByRole('heading', { level: 1 }).textContent())!)![0]
  return { href, number }
}

const text = (sheets: readonly Sheet[]) => sheets.flatMap((sheet) => sheet.lines).join('\n')

test('the job card is printed from the job: complaint, cautions, strip, needed with bins, rebuild, tests, room to write', async ({
  page,
}) => {
  test.setTimeout(120_000)
  await signIn(page, 'Jory Penhale')
  const job = await jobOf(page, /Mower shakes at full revs/)
  const machine = (await page.getByRole('link', { name: /^M-01/ }).first().textContent())!.trim()
  await page.getByRole('link', { name: 'Print the job card' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(`Job card ${job.number}`)
  await expectGoodScreen(page)
  const paper = text(await expectGoodPaper(page, `${machine}, job ${job.number}`))
  for (const part of [
    'Complaint',
    'Before you go on',
    'To renew',
    'Strip, the outermost first',
    'Rebuild',
    'Tests before release',
    'Written up',
  ])
    expect(paper).toContain(part)
  // The row breaks where its column is narrow: what matters is that the bin stands in it.
  expect(paper).toMatch(/To renew\n[\s\S]*Flail knife, right-angled[\s\S]*F4-01[\s\S]*Strip, the outermost first/)
  // The torque stands at the nut, whatever is fitted new, and the line may break on paper.
  expect(paper).toMatch(/5 Prevailing-torque nut, M16[\s\S]{0,120}? - 210 N m,\s+oiled threads/)
  await page.getByRole('link', { name: 'Back to the job' }).click()
  await page.goto(`${job.href}/take`)
  const bins = await page.locator('main form p .number').allTextContents()
  await page.getByRole('link', { name: 'Print the pick list' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(`Pick list, job ${job.number}`)
  await expectGoodScreen(page)
  const list = text(await expectGoodPaper(page, `${machine}, job ${job.number}`))
  expect(list).toContain('Bin Store Part number Description Qty Taken')
  // The walk on paper is the walk on the screen.
  const places = bins.filter((bin) => /^[A-Z]\d?-?\d/.test(bin)).map((bin) => list.indexOf(bin))
  expect(places.length).toBeGreaterThan(0)
  expect(places).toEqual([...places].sort((a, b) => a - b))
  expect(places).not.toContain(-1)
})

test('a service sheet has boxes to tick, of a job and blank for the model', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  // A tractor has its oils changed with it; which machine was serviced last goes by the day the demo was made.
  const job = await jobOf(page, /T-0\d.*Winter service \d{4}/s)
  await page.goto(`${job.href}/service`)
  await page.getByRole('link', { name: 'Print the service sheet' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(/Oils and filters/)
  await expectGoodScreen(page)
  const paper = text(await expectGoodPaper(page, `job ${job.number}`))
  expect(paper).toContain('Look at, renew on condition')
  expect(paper).toMatch(/Engine oil filter - renewed[\s\S]{0,60}✓ renew/)
  expect(paper).toContain('Tests before release')
  await page.goto('/models/1/services')
  await page
    .getByRole('link', { name: /^Print a blank sheet/ })
    .first()
    .click()
  await expectGoodScreen(page)
  const blank = text(await expectGoodPaper(page, 'machine:'))
  expect(blank).toContain('Machine, S/N')
  expect(blank).toMatch(/Oil seal[\s\S]{0,90}good renew/)
  expect(blank).not.toContain('✓')
})

test('the service book of a machine comes on paper and as a PDF, the head of a table again on each page', async ({
  page,
}) => {
  test.setTimeout(120_000)
  await signIn(page, 'Jory Penhale')
  await page.goto('/machines/5')
  await page.getByRole('link', { name: 'Print the service book' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(/^Service book of M-01/)
  await expectGoodScreen(page)
  const sheets = await expectGoodPaper(page, 'M-01')
  expect(sheets.length).toBeGreaterThan(5)
  const HEAD = 'Item Part number Description Quantity Cost'
  let rows = 0
  for (const { lines } of sheets) {
    // A row that begins a page stands under the head of its table, and no head is the last line above the foot.
    const first = lines.findIndex((line) => /£\d/.test(line))
    if (first >= 0) {
      expect(lines.slice(0, first)).toContain(HEAD)
      rows += 1
    }
    expect(lines.at(-2)).not.toBe(HEAD)
  }
  expect(rows).toBeGreaterThan(3)

  await page.goto('/service-book?machine=5&q=knife')
  const numbers = (await page.locator('main ol li').first().textContent())!.match(/ST40\.\d+/g)!
  const download = page.waitForEvent('download')
  await page.getByRole('link', { name: 'PDF' }).click()
  const file = await download
  expect(file.suggestedFilename()).toBe('service-book.pdf')
  const pdf = await pagesOf(readFileSync(await file.path()))
  expect(numbers.length).toBeGreaterThan(0)
  for (const number of numbers) expect(text(pdf)).toContain(number)
  expect(pdf[0]!.lines.join('\n')).toContain('Entries that answer “knife”')
})

test('nobody reads a sheet or the PDF who is not signed in', async ({ page, request }) => {
  for (const sheet of ['/print/jobs/1', '/print/models/1/services/5', '/print/machines/5/service-book']) {
    await page.goto(sheet)
    await expect(page).toHaveURL(/\/sign-in/)
  }
  expect((await request.get('/service-book/book.pdf')).status()).toBe(401)
})

test('a callout says what was last fitted there on this machine, and leads to the entry', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/models/1/figures/1?machine=5&item=3')
  const card = page.getByRole('region', { name: 'Chosen part' })
  await expect(card.getByText('Last fitted on M-01')).toBeVisible()
  await expectGoodScreen(page)
  // The list says it of each line, without opening its card.
  const row = page.getByRole('row').filter({ hasText: 'ST41.007' }).first()
  await expect(row).toContainText(/last fitted \d+ \w+ \d{4} at [\d,.]+ h/)
  const first = card.getByRole('listitem').first()
  const said = (await first.textContent())!
  const [, hours, job] = /at ([\d,.]+ h), job (\d+)/.exec(said)!
  await first.getByRole('link').click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(`Service book, job ${job}`)
  await expect(page.getByText(`at ${hours}`).first()).toBeVisible()
  await expect(page.getByRole('table').getByText('ST40.021').first()).toBeVisible()
  // Without a machine the newest of the model counts, and which machine it was is said.
  await page.goto('/models/1/figures/1?item=3')
  await expect(card.getByText('Last fitted on any Stourleigh FM 180')).toBeVisible()
  await expect(card.getByRole('listitem').first()).toContainText(/M-0[12]/)
})
