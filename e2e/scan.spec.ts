import { writeFileSync } from 'node:fs'
import { type Browser, chromium, type Page } from '@playwright/test'
import sharp from 'sharp'
import { paperPages, symbolsRead } from '../tests/support/label-read.ts'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

/** A scanner that acts as a keyboard: the signs follow each other at once, Enter behind them, and it does not wait for the page. */
async function scannerTypes(page: Page, text: string): Promise<void> {
  await Promise.all([...text, 'Enter'].map((sign) => page.keyboard.press(sign)))
}

/** Scripts of the page stay under way until the answer is called. */
async function scriptsHeld(page: Page): Promise<() => void> {
  let arrive = () => {}
  const arrived = new Promise<void>((resolve) => {
    arrive = resolve
  })
  await page.route('**/_next/static/**/*.js', (route) => arrived.then(() => route.continue()))
  return arrive
}

/** The labels of an address of the Labels screen, as they come out of the printer. */
async function printed(page: Page, query: string) {
  const answer = await page.request.get(`/shelf/labels/labels.pdf?${query}`)
  expect(answer.headers()['content-type']).toBe('application/pdf')
  const [sheet] = await paperPages(new Uint8Array(await answer.body()), 10)
  return { sheet: sheet!, codes: (await symbolsRead(sheet!.canvas)).map(({ text }) => text) }
}

/** A film of one picture, 640 x 480, as a camera gives it (YUV4MPEG2, 4:2:0). */
async function film(png: Buffer, path: string): Promise<void> {
  const grey = await sharp(png)
    .resize(600, 440, { fit: 'contain', background: '#fff' })
    .extend({ top: 20, bottom: 20, left: 20, right: 20, background: '#fff' })
    .greyscale()
    .raw()
    .toBuffer()
  const colour = Buffer.alloc((640 * 480) / 2, 128)
  const frame = Buffer.concat([Buffer.from('FRAME\n'), grey, colour])
  const frames = Array.from({ length: 10 }, () => frame)
  writeFileSync(path, Buffer.concat([Buffer.from('YUV4MPEG2 W640 H480 F10:1 Ip A1:1 C420jpeg\n'), ...frames]))
}

test('a printed bin label is held into the camera and the bin is chosen', async ({ page, browser }, info) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/bins')
  const link = page.getByRole('listitem').getByRole('link').nth(2)
  const bin = ((await link.locator('.number').textContent()) ?? '').trim()
  await link.click()
  await page.getByRole('link', { name: 'Label', exact: true }).click()
  await expect(page.getByRole('img', { name: `First sheet: ${bin}` })).toBeVisible()
  await expectGoodScreen(page)
  const address = await page.getByRole('link', { name: 'Labels as PDF' }).getAttribute('href')
  const { sheet, codes } = await printed(page, `${address!.split('?')[1]}&sheet=roll-62x29`)
  expect(codes).toHaveLength(1)
  const path = info.outputPath('label.y4m')
  await film(sheet.canvas.toBuffer('image/png'), path)

  const filmed: Browser = await chromium.launch({
    executablePath: browser.browserType().executablePath(),
    ...info.project.use.launchOptions,
    args: [
      ...(info.project.use.launchOptions?.args ?? []),
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-video-capture=${path}`,
    ],
  })
  try {
    const context = await filmed.newContext({
      viewport: page.viewportSize(),
      baseURL: info.project.use.baseURL,
      storageState: await page.context().storageState(),
      permissions: ['camera'],
    })
    const own = await context.newPage()
    const foreign: string[] = []
    own.on('request', (request) => {
      if (!request.url().startsWith(info.project.use.baseURL!) && !/^(blob|data):/.test(request.url()))
        foreign.push(request.url())
    })
    await own.goto('/shelf/receive?part=1')
    await own.getByRole('button', { name: /^Scan a bin/ }).click()
    await expect(own.getByRole('dialog', { name: 'Scan a bin' })).toBeHidden()
    await expect(own.getByLabel('Into bin').locator('option:checked')).toHaveText(new RegExp(`^${bin}`))
    await expect(own.getByText(new RegExp(`^Bin ${bin} in `))).toBeVisible()
    expect(foreign).toEqual([])
  } finally {
    await filmed.close()
  }
})

test('a part is taken from its bin with a hand scanner: bin, part, quantity', async ({ page }) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/bins')
  await page
    .getByRole('listitem')
    .getByRole('link', { name: /[2-9] parts/ })
    .first()
    .click()
  await expect(page).toHaveURL(/\/shelf\/bins\/\d+$/)
  const binId = /\d+$/.exec(page.url())![0]
  const rows = page.locator('[data-scan-row]')
  await expect(rows.nth(1)).toBeVisible()
  const part = ((await rows.nth(1).locator('h2 .number').textContent()) ?? '').trim()
  const partId = /\d+$/.exec((await rows.nth(1).getAttribute('id'))!)![0]
  const bins = await printed(page, `of=bin&ids=${binId}&symbol=code-128`)
  const parts = await printed(page, `of=part&ids=${partId}`)

  // From anywhere, the label of the bin opens the bin, on a page whose scripts are still under way too.
  const arrive = await scriptsHeld(page)
  await page.goto('/shelf', { waitUntil: 'commit' })
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible()
  await scannerTypes(page, bins.codes[0]!)
  arrive()
  await expect(page).toHaveURL(new RegExp(`/shelf/bins/${binId}$`))
  // There the label of a part opens its line, and the number goes in next.
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Bin ')
  await scannerTypes(page, parts.codes[0]!)
  const form = page.getByRole('form', { name: `Take ${part}` })
  const quantity = form.getByLabel(/^Take/)
  await expect(quantity).toBeFocused()
  await quantity.fill('1')
  await form.getByLabel('What for').fill('gate of the yard')
  await form.getByRole('button', { name: 'Take from shelf' }).click()
  await expect(form.getByRole('status')).toContainText(/1/)
  await page.goto('/shelf/movements')
  const row = page.getByRole('row').nth(1)
  await expect(row).toContainText(part)
  await expect(row).toContainText('gate of the yard')
})

test('the wrong label in a field says what it is, and changes nothing', async ({ page }) => {
  await signIn(page, 'Nell Arkwood')
  const { codes } = await printed(page, 'of=machine&ids=7')
  await page.goto('/machines/7')
  const machine = ((await page.getByRole('heading', { level: 1 }).locator('.number').textContent()) ?? '').trim()
  const arrive = await scriptsHeld(page)
  await page.goto('/shelf/receive?part=1', { waitUntil: 'commit' })
  const bin = page.getByLabel('Into bin')
  const before = await bin.inputValue()
  await bin.focus()
  await scannerTypes(page, codes[0]!)
  arrive()
  await expect(page.getByRole('main').getByRole('alert')).toContainText(`This is machine ${machine}`)
  await expect(page.getByRole('main').getByRole('alert')).toContainText('not a bin')
  await expect(bin).toHaveValue(before)
  await expectGoodScreen(page)
  // What a scanner types into a field for words stays there.
  const note = page.getByLabel(/^Note/)
  await note.focus()
  await page.keyboard.type('HX-77120')
  await expect(note).toHaveValue('HX-77120')
})

test('without a camera a picture of the label, or the number under it, does', async ({ page }, info) => {
  await signIn(page, 'Nell Arkwood')
  const { sheet } = await printed(page, 'of=part&ids=1&sheet=roll-62x29')
  const path = info.outputPath('label.png')
  writeFileSync(path, sheet.canvas.toBuffer('image/png'))
  await page.addInitScript(() => Object.defineProperty(navigator, 'mediaDevices', { value: undefined }))
  await page.goto('/shelf/receive')
  await page.getByRole('button', { name: 'Scan a part' }).click()
  const panel = page.getByRole('dialog', { name: 'Scan a part' })
  await expect(panel).toContainText('The camera cannot be used here')
  await expectGoodScreen(page)
  await panel.getByLabel('Number under the code').fill('no such thing 1')
  await panel.getByRole('button', { name: 'Look it up' }).click()
  await expect(panel.getByRole('status')).toContainText('is no part, bin or machine here')
  await panel.getByLabel('Take a picture').setInputFiles(path)
  await expect(panel).toBeHidden()
  await expect(page).toHaveURL(/q=/)
  await expect(page.getByRole('link', { name: /^Choose/ }).first()).toBeVisible()
})

test('labels of an order, of chosen parts and of the fleet are laid out on the chosen sheet', async ({ page }) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/labels?of=part&q=seal')
  await page.getByRole('link', { name: /^Add/ }).first().click()
  await expect(page.getByText('1 label on 1 sheet')).toBeVisible()
  await page.getByRole('link', { name: /^Add/ }).first().click()
  await expect(page.getByText('2 labels on 1 sheet')).toBeVisible()
  await page.getByLabel('Labels', { exact: true }).selectOption({ label: 'A4, 2 x 7 of 99.1 x 38.1 mm' })
  await page.getByLabel('Copies of each').fill('8')
  await page.getByRole('button', { name: 'Show', exact: true }).click()
  await expect(page.getByText('16 labels on 2 sheets')).toBeVisible()
  await expectGoodScreen(page)
  await page
    .getByRole('link', { name: /^Leave out/ })
    .first()
    .click()
  await expect(page.getByText('8 labels on 1 sheet')).toBeVisible()
  await page.getByRole('link', { name: 'Machines' }).last().click()
  await expect(page).toHaveURL(/of=machine/)
  await expectGoodScreen(page)
})
