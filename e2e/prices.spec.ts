import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a buyer puts a part on a price list, brings the next list in as a file, and withdraws the offer', async ({
  page,
}) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying/suppliers/2')
  const row = page.getByRole('table').last().getByRole('row').nth(1)
  const number = ((await row.getByRole('link').textContent()) ?? '').trim()
  await row.getByRole('link').click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText(number)

  await page.getByText('Put it on a new list').click()
  const form = page.getByRole('form', { name: 'Prices on a new list' })
  const from = form.getByLabel(/^From/)
  const least = await from.first().inputValue()
  await form.getByLabel('Name of the list').fill('Counter prices')
  await from.first().fill('99999')
  await form
    .getByLabel(/^Price, /)
    .first()
    .fill('9.80')
  await form.getByRole('button', { name: 'Keep the prices' }).click()
  // Refused in words, and what was typed stands as it was typed.
  await expect(form).toContainText('it has no price below 99999')
  await expect(form.getByLabel('Name of the list')).toHaveValue('Counter prices')
  await from.first().fill(least)
  await from.nth(1).fill(String(Number(least) * 10))
  await form
    .getByLabel(/^Price, /)
    .nth(1)
    .fill('8,40')
  await form.getByRole('button', { name: 'Keep the prices' }).click()
  await expect(page.getByText('By the list Counter prices')).toBeVisible()
  await expect(page.getByRole('cell', { name: '£8.40' })).toBeVisible()
  await expectGoodScreen(page)

  const head = 'supplier;list;valid_from;number;from_quantity;price'
  const next = `Thornwick Bearings & Belts;Spring list;2031-03-01;${number};${least};10.78`
  const lost = 'Thornwick Bearings & Belts;Spring list;2031-03-01;QX-404;1;5.00'
  await page.goto('/exchange')
  await page.getByLabel(/^What/).selectOption('prices')
  await page.getByLabel('File', { exact: true }).setInputFiles({
    name: 'spring.csv',
    mimeType: 'text/csv',
    buffer: Buffer.from(`${head}\r\n${next}\r\n${lost}\r\n`),
  })
  await page.getByRole('button', { name: 'Bring the file' }).click()
  await page.getByRole('button', { name: 'Rehearse' }).click()
  await expect(page.getByText(/1 dearer, 0 cheaper/)).toBeVisible({ timeout: 30_000 })
  await expect(page.getByRole('cell', { name: '▲ 10 % dearer' })).toBeVisible()
  await expectGoodScreen(page)
  // A number that nobody knows holds nobody up: the right row is taken, the other one is kept to be mended.
  await expect(page.getByRole('row', { name: /no part has the number QX-404/ })).toBeVisible()
  await page.getByRole('button', { name: 'Take the 1 right row' }).click()
  await expect(page.getByRole('heading', { name: /Brought in/ })).toBeVisible({ timeout: 30_000 })
  await expect(page.getByText('1 row left out.')).toBeVisible()
  const left = await page.request.get(
    (await page.getByRole('link', { name: 'Download the rows left out' }).getAttribute('href'))!,
  )
  expect(await left.text()).toContain('QX-404')

  await page.goto('/buying/suppliers/2')
  await page.getByRole('link', { name: 'Spring list' }).click()
  await page.getByRole('link', { name: number, exact: true }).click()
  await page.getByText('Withdraw the offer').click()
  await page.getByRole('button', { name: 'Withdraw it' }).click()
  await expect(page.getByText(/neither proposed nor ordered/)).toBeVisible()
  await expectGoodScreen(page)
})
