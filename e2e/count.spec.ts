import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a bin is counted blind from the due list, counted again, and the large difference waits for a manager', async ({
  page,
  browser,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/bins')
  await page.getByRole('link', { name: 'Count due' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Count due')
  await expectGoodScreen(page)
  await page
    .getByRole('link', { name: /^Count .* due in/ })
    .first()
    .click()
  const sheet = page.getByRole('form', { name: 'Count sheet' })
  const field = sheet.getByRole('textbox').first()
  await expect(field).toHaveValue('')
  await expectGoodScreen(page)
  const save = sheet.getByRole('button', { name: 'Save the counts' })
  const line = sheet.getByRole('listitem').filter({ hasText: 'count it once more' })
  // More than anybody has in stock: worth more than may be booked at once, whatever the part.
  await field.fill('99977')
  await save.click()
  await expect(sheet.getByRole('status')).toContainText('Counted 1 line: 1 to count again.')
  await expect(line.getByRole('textbox').first()).toHaveValue('')
  await expectGoodScreen(page)
  await line.getByRole('textbox').first().fill('99977')
  await line.getByLabel('Why it differs').selectOption('Found, never booked')
  await line.getByLabel('In words').fill('a full pallet')
  await save.click()
  await expect(sheet.getByRole('status')).toContainText('Counted 1 line: 1 waiting for approval.')

  const office = await browser.newContext()
  const manager = await office.newPage()
  await signIn(manager, 'Marit Quillbeck')
  await manager.getByRole('link', { name: '1 count difference to approve' }).click()
  await expect(manager.getByRole('main')).toContainText('Found, never booked: a full pallet')
  await expectGoodScreen(manager)
  const back = manager.getByRole('form', { name: /^Send back/ })
  await back.getByRole('button').click()
  await expect(back).toContainText('say what to look at')
  await manager
    .getByRole('form', { name: /^Approve/ })
    .getByRole('button')
    .click()
  await expect(manager.getByRole('main')).toContainText('Nothing waits for approval.')
  await manager.goto('/shelf/movements')
  await expect(manager.getByRole('row').nth(1)).toContainText('Found, never booked: a full pallet')
  await office.close()

  await page.goto('/shelf/count/kept')
  await expect(page.getByRole('row').filter({ hasText: 'put right, count 2' }).first()).toContainText('Marit Quillbeck')
  await expect(page.getByRole('region', { name: 'How often the books were right' })).toContainText(/of \d+/)
  await expectGoodScreen(page)
})

test('what was taken while a bin was open is shown, and the count stands with what the person says of it', async ({
  page,
  browser,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf?q=wiping')
  await page.getByRole('table').getByRole('link').first().click()
  await expect(page).toHaveURL(/\/parts\/\d+/)
  const part = page.url()
  await page.getByRole('link', { name: 'Receive' }).click()
  const receive = page.getByRole('form', { name: /^Receive/ })
  await receive.getByLabel(/How many came/).fill('5')
  const bin = await receive.getByLabel('Into bin').inputValue()
  await receive.getByRole('button', { name: 'Put on shelf' }).click()
  await expect(page.getByRole('main').getByRole('status')).toContainText(/Received 5/)
  const there = Number(
    /; (\d+) there now/.exec((await page.getByRole('main').getByRole('status').textContent()) ?? '')![1],
  )
  await page.goto(`/shelf/count?bin=${bin}`)
  const sheet = page.getByRole('form', { name: 'Count sheet' })
  const row = sheet.getByRole('listitem').filter({ hasText: /wiping/i })
  await row.getByRole('textbox').first().fill(String(there))

  // Meanwhile two more come in.
  const other = await (await browser.newContext()).newPage()
  await signIn(other, 'Sam Lutterby')
  await other.goto(part)
  await other.getByRole('link', { name: 'Receive' }).click()
  const more = other.getByRole('form', { name: /^Receive/ })
  await more.getByLabel(/How many came/).fill('2')
  await more.getByLabel('Into bin').selectOption(bin)
  await more.getByRole('button', { name: 'Put on shelf' }).click()
  await expect(other.getByRole('main').getByRole('status')).toContainText(/Received 2/)
  await other.context().close()

  await sheet.getByRole('button', { name: 'Save the counts' }).click()
  await expect(sheet.getByRole('status')).toContainText('Counted 1 line: 1 moved meanwhile.')
  await expect(row).toContainText('Received 2, Sam Lutterby')
  await expect(row.getByRole('textbox').first()).toHaveValue(String(there))
  await expectGoodScreen(page)
  await row.getByLabel('When did you count?').selectOption('Before that')
  await sheet.getByRole('button', { name: 'Save the counts' }).click()
  await expect(sheet.getByRole('status')).toContainText('Counted 1 line: 1 right.')
})

test('a manager says how counting is done; who may not is told whom to ask', async ({ page, browser }) => {
  await signIn(page, 'Marit Quillbeck')
  await page.goto('/settings/counting')
  const form = page.getByRole('form', { name: 'Counting' })
  await form.getByLabel('A up to').fill('96')
  await form.getByRole('button', { name: 'Save' }).click()
  await expect(form).toContainText('B must end above A')
  await expectGoodScreen(page)
  await form.getByLabel('A up to').fill('75')
  await form.getByLabel('Class A').fill('6')
  await form.getByRole('button', { name: 'Save' }).click()
  await expect(form.getByRole('status')).toContainText('Counts are made so from now on')
  await page.goto('/shelf/count/due')
  await expect(page.getByRole('region', { name: 'Classes' })).toContainText('A up to 75 %')
  await expect(page.getByRole('region', { name: 'Classes' })).toContainText('A 6, B 2, C 1 times a year')
  const shed = await browser.newContext()
  const keeper = await shed.newPage()
  await signIn(keeper, 'Nell Arkwood')
  await keeper.goto('/settings/counting')
  await expect(keeper.getByRole('main')).toContainText('Ask a manager')
  await expect(keeper.getByRole('button', { name: 'Save' })).toHaveCount(0)
  await shed.close()
})

test('a count sheet goes out as a file and comes back: a wrong row is named first, then what was counted is kept', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/count/files')
  await expectGoodScreen(page)
  const pdf = await page.request.get(
    (await page.getByRole('link', { name: 'Count sheet of All stores as PDF' }).getAttribute('href'))!,
  )
  expect((await pdf.body()).subarray(0, 5).toString()).toBe('%PDF-')
  const sheet = await page.request.get(
    (await page.getByRole('link', { name: 'Count sheet of All stores as CSV' }).getAttribute('href'))!,
  )
  const ids = (await sheet.text()).match(/\bC\d+-\d+-\d+-\d+-\d\d\b/g)!
  expect(ids.length).toBeGreaterThan(100)
  // A line of its own at each of the two widths.
  const line = ids.at((page.viewportSize()?.width ?? 0) > 800 ? -1 : -2)!
  const bring = async (id: string) => {
    await page.goto('/shelf/count/files')
    const rows = `line;counted;reason\r\n${id};99977;found\r\n`
    await page
      .getByLabel('File', { exact: true })
      .setInputFiles({ name: 'counted.csv', mimeType: 'text/csv', buffer: Buffer.from(rows) })
    await page.getByRole('button', { name: 'Bring the file' }).click()
    await page.getByRole('button', { name: 'Rehearse' }).click({ timeout: 60_000 })
  }
  await bring(`${line}7`)
  await expect(page.getByRole('heading', { name: /1 row.* refused/ })).toBeVisible({ timeout: 60_000 })
  await expect(page.getByRole('row').nth(1)).toContainText('is no line of a sheet of this workshop')
  await expectGoodScreen(page)
  await bring(line)
  await expect(page.getByRole('heading', { name: /nothing stands in the way/ })).toBeVisible({ timeout: 60_000 })
  await expect(page.getByText('lines to count again')).toBeVisible()
  await page.getByRole('button', { name: 'Bring it in' }).click()
  await page.getByRole('link', { name: 'To the counts' }).click({ timeout: 60_000 })
  await expect(page.getByRole('region', { name: 'To count again' })).toContainText('counted by Nell Arkwood')
})
