import { parse } from 'csv-parse/sync'
import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('levels of many parts are changed in one go: seen first, one taken out, with a reason, and not twice', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/bulk?q=circlip&what=levels')
  await page.getByLabel('Reorder point').fill('9')
  await page.getByLabel('Order up to').fill('4')
  await page.getByRole('button', { name: 'Show what it would change' }).click()
  // Up to less than the reorder point would order for ever.
  await expect(page.getByRole('heading', { name: 'Nothing would change' })).toBeVisible()
  await page.getByLabel('Order up to').fill('23')
  await page.getByRole('button', { name: 'Show what it would change' }).click()
  const heading = page.getByRole('heading', { name: /\d+ parts? would change/ })
  const many = Number((await heading.textContent())!.replace(/\D.*/, ''))
  expect(many).toBeGreaterThan(2)
  const rows = page.getByRole('form', { name: 'Change these parts' }).getByRole('row')
  const [left, changed] = [rows.nth(1), rows.nth(2)]
  const leftBefore = (await left.getByRole('cell').nth(2).textContent())!
  await left.getByRole('checkbox').uncheck()
  const part = await changed.getByRole('link').getAttribute('href')
  await page.getByRole('button', { name: 'Change them' }).click()
  await expect(page.getByText('say why, in a few words', { exact: true })).toBeVisible()
  // What was refused stands as it was entered.
  await expect(left.getByRole('checkbox')).not.toBeChecked()
  await page.getByLabel('Why').fill('a handful of each for the winter')
  await expectGoodScreen(page)
  await page.getByRole('button', { name: 'Change them' }).click()
  await expect(page.getByText(`${many - 1} parts changed.`)).toBeVisible()
  await page.reload()
  await expect(page.getByRole('heading', { name: '1 part would change' })).toBeVisible()
  await expect(page.getByRole('form', { name: 'Change these parts' }).getByRole('row').nth(1)).toContainText(leftBefore)
  await page.goto(part!)
  await expect(page.getByRole('main')).toContainText('23')
})

test('stock is worth the same by store as by class, last winter too, and the list of parts adds up to it', async ({
  page,
}) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/shelf/value')
  const pounds = (text: string) => Math.round(Number(text.replace(/[^\d.]/g, '')) * 100)
  const worth = async () =>
    pounds(
      (await page
        .getByText(/the stock was worth/)
        .locator('strong')
        .textContent())!,
    )
  const now = await worth()
  expect(now).toBeGreaterThan(0)
  const download = page.waitForEvent('download')
  await page.getByRole('link', { name: 'Parts as CSV' }).click()
  const text = await (await download).createReadStream().then(async (stream) => {
    const pieces: Buffer[] = []
    for await (const piece of stream) pieces.push(piece as Buffer)
    return Buffer.concat(pieces).toString('utf8')
  })
  const rows = parse(text, { columns: true, bom: true }) as { value: string }[]
  expect(rows.reduce((sum, { value }) => sum + pounds(value), 0)).toBe(now)
  await page.getByLabel('Method').selectOption('fifo')
  await page.getByLabel('On', { exact: true }).fill(`${new Date().getFullYear() - 1}-01-31`)
  await page.getByRole('button', { name: 'Show' }).click()
  await expect(page).toHaveURL(/method=fifo/)
  expect(await worth()).toBeGreaterThan(0)
  expect(await worth()).not.toBe(now)
})
