import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('every screen is readable by ear, by keyboard and at the width of a phone', async ({ page }) => {
  test.setTimeout(600_000)
  await page.goto('/sign-in')
  await expectGoodScreen(page)
  await signIn(page, 'Sam Lutterby')
  const screens = [
    '/',
    '/machines',
    '/models',
    '/jobs',
    '/jobs/new',
    '/services',
    '/services?state=all',
    '/services/open?machine=5',
    '/models/1/services',
    '/shelf',
    '/shelf/receive',
    '/shelf/bins',
    '/shelf/bins/1',
    '/shelf/count?bin=1',
    '/shelf/count?store=1',
    '/shelf/count?due=1',
    '/shelf/count/due',
    '/shelf/count/approve',
    '/shelf/count/kept',
    '/shelf/count/files',
    '/settings/counting',
    '/shelf/movements',
    '/shelf/on-the-way',
    '/shelf/old-units',
    '/shelf/bins/105',
    '/shelf/book?part=1',
    '/shelf/book?part=1&as=back',
    '/shelf/book?part=1&as=scrap',
    '/shelf/labels',
    '/shelf/labels?of=bin&store=1',
    '/shelf/labels?of=part&ids=1,2&sheet=a4-5x13&symbol=code-128&from=4',
    '/shelf/labels?of=machine',
    '/shelf/value?before=2026-01-31&method=fifo',
    '/shelf/dead?months=1&years=1',
    '/shelf/spoils?within=90',
    '/shelf/batches/1',
    '/settings/batches',
    '/parts/1/batches',
    '/buying',
    '/buying/orders',
    '/buying/drafts/2',
    '/buying/chase',
    '/buying/invoices',
    '/buying/invoices/1',
    '/buying/invoices/2',
    '/buying/invoices/1/credits/new',
    '/buying/invoices/2/credits/new',
    '/buying/credits/1',
    '/buying/orders/1/invoices/new',
    '/settings/buying',
    '/buying/last-year',
    '/buying/levels',
    '/buying/plan',
    '/settings/levels',
    '/buying/suppliers',
    '/buying/suppliers/3',
    '/buying/suppliers/3/change',
    '/buying/suppliers/new',
    '/buying/suppliers/2/parts?q=bearing',
    '/buying/suppliers/2/lists/1',
    '/settings/rates',
    '/winter',
    '/winter/1',
    '/winter/1/buy',
    '/winter/1/change',
    '/winter/1/machines/9',
    '/winter/2/review',
    '/winter/1/budgets',
    '/settings/cost-centres',
    '/settings/cost-centres/1',
    '/search?q=cotter+pin',
    '/models/import',
    '/settings',
    '/settings/stores',
    '/settings/stores/1',
    '/settings/stores/1?bin=1',
    '/settings/stores/1?put=1',
    '/settings/check',
    '/settings/words',
    '/settings/rules',
    '/settings/rules/brake-friction-pair',
    '/settings/rules/brake-friction-pair/change',
    '/settings/rules/new?like=brake-drum-pair',
    '/settings/rules/bench?off=brake-friction-pair',
    '/exchange',
    '/service-book?machine=5&q=knife',
    '/print/models/1/services/5',
    '/print/machines/13/service-book',
    '/machines/1/fault?said=drips+oil',
    '/fasteners?of=bolt&thread=M12&propertyClass=8.8&statedNm=120',
    '/fasteners?of=wheel&studs=6&wheelNm=300',
    '/desk',
    '/desk?figure=1',
    '/people',
    '/people/not-allowed?right=people.manage',
    '/parts/1',
    '/parts/1/level',
    '/models/1/figures/1?item=7',
    '/models/1/figures/1/print?machine=1',
    '/models/1/figures/1/compare?serialA=1200&serialB=1600',
    '/models/1/figures/1/strip',
    '/models/1/figures/1/tests',
    '/parts/new',
    '/parts/1/edit',
    '/parts/1/instead',
    '/models/1/attach',
    '/nowhere',
  ]
  for (const screen of screens) {
    await page.goto(screen)
    await expectGoodScreen(page)
  }
  for (const [from, link] of [
    ['/machines', 'main table a'],
    ['/models', 'main table a'],
    ['/buying/orders', 'section[aria-labelledby="open"] table a'],
  ] as const) {
    await page.goto(from)
    await page.locator(link).first().click()
    await expect(page).not.toHaveURL(new RegExp(`${from}$`))
    await expectGoodScreen(page)
  }
  await page.goto('/jobs')
  const job = await page.locator('main table a').first().getAttribute('href')
  for (const step of ['', '/strip', '/needed', '/take', '/rebuild', '/close']) {
    await page.goto(`${job}${step}`)
    await expectGoodScreen(page)
  }
  for (const sheet of ['', '/pick-list']) {
    await page.goto(`/print${job}${sheet}`)
    await expectGoodScreen(page)
  }
})

test('somebody who is not signed in sees nothing but the sign-in screen', async ({ page, request }) => {
  for (const screen of ['/', '/shelf', '/jobs', '/buying', '/people', '/models/1/figures/1']) {
    await page.goto(screen)
    await expect(page).toHaveURL(/\/sign-in/)
  }
  const picture = await request.get(`/pictures/${'0'.repeat(64)}`)
  expect(picture.status()).toBe(401)
  expect((await request.get('/search/suggest?q=pin')).status()).toBe(401)
})

test('search finds a split pin under its American name while it is being typed', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  await page.getByRole('combobox', { name: /Search/ }).fill('cotter pin')
  const first = page.getByRole('option').first()
  await expect(first).toContainText(/split pin/i)
  await first.click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/split pin/i)
})
