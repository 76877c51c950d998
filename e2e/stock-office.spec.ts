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

test('dead stock: each part has its reason and what to do, other limits give another list, and the part can be gone to', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/shelf/dead')
  const summary = page.getByText(/^\d+ parts? worth/)
  const many = async () => Number((await summary.textContent())!.replace(/\D.*/, ''))
  const rows = page.getByRole('table').getByRole('row')
  const usual = await many()
  expect(usual).toBeGreaterThan(10)
  await expect(rows.nth(1)).toContainText(/Not moved|More than is used|No machine in use|Superseded|No longer made/)
  await expect(rows.nth(1)).toContainText(/Return|Use up|Move|Scrap|Find out/)
  await expectGoodScreen(page)

  // What has not moved for ten years is less than what has not moved for one; what is more than a year of use, more than two.
  const show = async (what: { months?: string; years?: string; why?: string; advice?: string }) => {
    await page.getByLabel('Not moved for months').fill(what.months ?? '12')
    await page.getByLabel('More than years of use').fill(what.years ?? '2')
    await page.getByLabel('Why').selectOption(what.why ?? '')
    await page.getByLabel('What to do').selectOption(what.advice ?? '')
    await page.getByRole('button', { name: 'Show' }).click()
    const asked = { months: what.months, years: what.years, why: what.why, advice: what.advice }
    await page.waitForURL((url) =>
      Object.entries(asked).every(([name, value]) => value === undefined || url.searchParams.get(name) === value),
    )
    return (await summary.count()) === 0 ? 0 : many()
  }
  const dead = await show({ months: '12', why: 'dead' })
  expect(await show({ months: '30', why: 'dead' })).toBeLessThan(dead)
  const excess = await show({ years: '2', why: 'excess' })
  expect(await show({ years: '1', why: 'excess' })).toBeGreaterThan(excess)

  // Of two numbers for one part the old one is used up before the new one is ordered: the part says which.
  expect(await show({ why: 'superseded', advice: 'use-up' })).toBeGreaterThan(0)
  const row = rows.filter({ hasText: 'Use it up before' }).first()
  const newer = /Use it up before (.+) is ordered/.exec((await row.textContent())!)![1]!
  const old = (await row.getByRole('link').textContent())!.trim()
  const csv = await (await page.request.get(`/shelf/dead/list.csv?why=superseded&advice=use-up`)).text()
  expect(csv).toContain(old)
  await row.getByRole('link').click()
  await page.waitForURL(/\/parts\/\d+$/)
  await expect(page.getByRole('main')).toContainText(old)
  await expect(page.getByRole('main')).toContainText(newer)

  // Nobody found out what it is for, so it is scrapped and leaves the list.
  await page.goto('/shelf/dead?advice=find-out')
  const before = await many()
  const scrapped = rows.nth(1)
  const pieces = (await scrapped.getByRole('cell').nth(2).textContent())!.trim()
  const part = (await scrapped.getByRole('link').getAttribute('href'))!.split('/').at(-1)!
  await page.goto(`/shelf/book?part=${part}&as=scrap`)
  const form = page.getByRole('form', { name: /^Scrap / })
  await form.getByLabel(/^Scrap/).fill(pieces)
  await form.getByLabel('Why').fill('no machine has it any more')
  await form.getByRole('button', { name: 'Scrap', exact: true }).click()
  await expect(form.getByRole('status')).toContainText('Scrapped')
  await page.goto('/shelf/dead?advice=find-out')
  expect(await many()).toBe(before - 1)
})

test('last year is run again: what lay there, what each way to set levels would have needed, and for which class which', async ({
  page,
}) => {
  await signIn(page, 'Nell Arkwood')
  await page.goto('/buying')
  await page.getByRole('link', { name: 'Last year, run again' }).click()
  // Reckoned in a process of its own; the screen says how far it is and shows the answer when it is there.
  await expect(page.getByRole('heading', { name: 'What it means' })).toBeVisible({ timeout: 90_000 })
  const means = page.getByRole('region', { name: 'What it means' })
  await expect(means).toContainText(/Parts worth £[\d,.]+ really lay on the shelf/)
  await expect(means).toContainText(/The levels kept now would have had [\d.]+ % of the pieces handed out at once/)
  const ways = page.getByRole('region', { name: 'Aimed at 95 %' }).getByRole('row')
  await expect(ways).toHaveCount(1 + 2 + 6)
  await expect(ways.filter({ hasText: 'As it really was' })).toContainText('not known')
  await expectGoodScreen(page)
  const pounds = (text: string | null) => Number((text ?? '').replace(/[^\d.]/g, ''))
  const need = async () =>
    pounds(await ways.filter({ hasText: 'Running hours, shelf as a whole' }).getByRole('cell').last().textContent())
  const for95 = await need()
  expect(for95).toBeGreaterThan(0)
  // The picture says in words what it draws, and its points stand in a table.
  await expect(page.getByRole('img', { name: /Service against stock/ })).toBeVisible()
  await page.getByText('Every point of the lines').click()
  const points = page.locator('details').filter({ hasText: 'Every point of the lines' })
  await expect(points.getByRole('row').filter({ hasText: 'Forecast and spread' })).toHaveCount(7)
  // A better service takes more.
  await page.getByLabel('Of a hundred').selectOption('98')
  await page.getByRole('button', { name: 'Show' }).click()
  await page.waitForURL(/service=98/)
  await expect(page.getByRole('heading', { name: 'Aimed at 98 %' })).toBeVisible()
  const other = page.getByRole('region', { name: 'Aimed at 98 %' }).getByRole('row')
  expect(
    pounds(await other.filter({ hasText: 'Running hours, shelf as a whole' }).getByRole('cell').last().textContent()),
  ).toBeGreaterThan(for95)
  // One class: the table says which way needs least for it and why, and leads to it.
  const classes = page.getByRole('region', { name: /class by class/ })
  await expect(classes.getByRole('row').nth(1)).toContainText(/needs £[\d,.]+ for it; /)
  await classes.getByRole('link', { name: /^O.ring$/ }).click()
  await page.waitForURL(/class=o-ring/)
  await expect(page.getByLabel('Class', { exact: true })).toHaveValue('o-ring')
  await expectGoodScreen(page)
})
