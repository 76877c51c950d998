import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a buyer splits a draft, changes and orders it in one press, enters the confirmation, takes a part back, settles an invoice and notes a call about what is late', async ({
  page,
}) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying')
  await page
    .getByRole('button', { name: /Keep as a draft/ })
    .first()
    .click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/Draft \d+/)
  // A part of it goes to a second draft of the supplier; the first one goes on.
  const first = page.url()
  const name = (await page.locator('#page h1').textContent()) ?? ''
  await page.getByText('Split the draft').click()
  const split = page.getByRole('form', { name: 'Move them to another draft' })
  await split.getByRole('checkbox').first().check()
  await split.getByRole('button').click()
  await expect(page.getByRole('heading', { level: 1 })).not.toHaveText(name)
  await expect(page.getByRole('main')).toContainText(`split off ${name.toLowerCase()}`)
  await page.goto(first)

  await page.getByLabel('Words to the supplier').fill('Leave it at the gate')
  await page.getByRole('button', { name: 'Mark as ordered' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/Order \d+/)
  await expect(page.getByRole('main')).toContainText('Leave it at the gate')
  await expect(page.getByRole('link', { name: 'Write an e-mail' })).toHaveAttribute('href', /^mailto:/)
  const sheet = await page.request.get(`${page.url()}/order.pdf`)
  expect([sheet.status(), sheet.headers()['content-type']]).toEqual([200, 'application/pdf'])

  await page.getByText('Confirmed by the supplier').first().click()
  await page.getByLabel('All lines come on').fill('2031-03-04')
  await page.getByRole('button', { name: 'Keep the confirmation' }).click()
  await expect(page.getByText('4 Mar 2031').first()).toBeVisible()
  await expectGoodScreen(page)

  // What cannot be sent is taken back onto a draft, and the order has it no more.
  const order = page.url()
  await page.getByText('Order the rest elsewhere').click()
  const back = page.getByRole('form', { name: 'Take them back onto a draft' })
  for (const box of (await back.getByRole('checkbox').all()).slice(1)) await box.uncheck()
  await back.getByLabel('Why it is taken back').fill('none before spring')
  await back.getByRole('button').click()
  await expect(page.getByRole('main')).toContainText('none before spring')
  await page.goto(order)
  await expect(page.getByRole('main')).toContainText('cancelled')

  // The invoice that came with goods: a wrong total is a difference, accepted with a reason.
  await page.goto('/buying/orders')
  // The oldest: of it no invoice was entered, and no other walk has ordered it.
  await page
    .locator('section[aria-labelledby="closed"] tr')
    .filter({ hasText: 'received' })
    .last()
    .getByRole('link')
    .click()
  await page.getByRole('link', { name: 'Enter an invoice' }).click()
  // The supplier wrote one for two orders: the oldest other one is on it too.
  await page.getByText('It is for other orders too').click()
  const others = page.getByRole('form', { name: 'Other orders on the invoice' })
  await others.getByRole('checkbox').last().check()
  await others.getByRole('button', { name: 'Show their lines' }).click()
  await expect(page.getByRole('rowheader', { name: /^Order \d+$/ })).toHaveCount(2)
  await page.getByLabel('Number of the invoice').fill('RE 771')
  await page.getByLabel('Dated').fill('2026-11-06')
  // The paper is looked at: where it says the same one press types it, else it is told before the invoice is kept.
  const total = page.getByLabel('Total of the invoice')
  await expect(total).toHaveValue('')
  await page.getByRole('button', { name: /^The paper says £[\d,.]+ too$/ }).click()
  await expect(total).toHaveValue(/^[1-9]\d*\.\d\d$/)
  await expect(page.getByText('The total agrees with it.')).toBeVisible()
  await total.fill('1')
  await total.blur()
  await expect(page.getByText(/^▲ The total is £[\d,.]+ less/)).toBeVisible()
  await expectGoodScreen(page)
  await page.getByRole('button', { name: 'Keep the invoice' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Invoice RE 771')
  await expect(page.getByRole('main')).toContainText('differences open')
  await expect(page.getByText('Orders', { exact: true })).toBeVisible()
  await page.getByLabel(/Why, or what the supplier was told/).fill('a credit note came')
  await page.getByRole('button', { name: /Accept it/ }).click()
  await expect(page.getByRole('main')).toContainText('a credit note came')
  await expect(page.getByRole('main')).not.toContainText('differences open')
  await expectGoodScreen(page)

  await page.goto('/buying/chase')
  await expect(page.getByRole('link', { name: /invoices? with differences/ })).toBeVisible()
  const late = page.getByRole('main').getByRole('heading', { level: 2 }).first()
  const lateOne = (await late.textContent()) ?? ''
  await page.getByText('Note a call').first().click()
  await page.getByLabel('With whom, and what was said').first().fill('Rob: it leaves on Monday')
  await page.getByLabel('New day').first().fill('2031-03-04')
  await page.getByRole('button', { name: 'Keep the call' }).first().click()
  await expect(page.getByRole('heading', { level: 2, name: lateOne })).toHaveCount(0)
  await expectGoodScreen(page)
})
