import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('a buyer keeps a draft, changes and orders it in one press, enters the confirmation and notes a call about what is late', async ({
  page,
}) => {
  await signIn(page, 'Odile Brandreth')
  await page.goto('/buying')
  await page
    .getByRole('button', { name: /Keep as a draft/ })
    .first()
    .click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/Draft \d+/)
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

  await page.goto('/buying/chase')
  const late = page.getByRole('main').getByRole('heading', { level: 2 }).first()
  const name = (await late.textContent()) ?? ''
  await page.getByText('Note a call').first().click()
  await page.getByLabel('With whom, and what was said').first().fill('Rob: it leaves on Monday')
  await page.getByLabel('New day').first().fill('2031-03-04')
  await page.getByRole('button', { name: 'Keep the call' }).first().click()
  await expect(page.getByRole('heading', { level: 2, name })).toHaveCount(0)
  await expectGoodScreen(page)
})
