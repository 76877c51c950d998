import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('an American word with a slip leads by arrow and Enter to the card of the part', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  const field = page.getByRole('combobox', { name: /Search/ })
  await field.fill('cottre pin')
  const list = page.getByRole('listbox', { name: 'Answers' })
  await expect(list).toBeVisible()
  await expect(list).toContainText('Shown for “cotter pin”')
  await expectGoodScreen(page)
  await field.press('ArrowDown')
  const first = page.getByRole('option').first()
  await expect(first).toHaveAttribute('aria-selected', 'true')
  await expect(first).toContainText(/split pin/i)
  await expect(field).toHaveAttribute('aria-activedescendant', (await first.getAttribute('id')) ?? '')
  await field.press('Enter')
  await expect(page.getByRole('heading', { level: 1 })).toContainText(/split pin/i)
})

test('the list shows parts, figures and past jobs in groups, and Escape keeps what was typed', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  const field = page.getByRole('combobox', { name: /Search/ })
  await field.fill('brake')
  for (const kind of ['Parts', 'Figures', 'Past jobs'])
    await expect(page.getByRole('group', { name: kind }).getByRole('option').first()).toBeVisible()
  await expectGoodScreen(page)
  await field.press('Escape')
  await expect(page.getByRole('listbox', { name: 'Answers' })).toBeHidden()
  await expect(field).toHaveValue('brake')
  await field.press('Enter')
  await expect(page.getByRole('heading', { level: 1, name: 'Search' })).toBeVisible()
  await expect(page.getByRole('heading', { level: 2, name: 'Parts' })).toBeVisible()
})

test('a symptom leads to the past job with what was renewed, and a fleet number narrows to its parts', async ({
  page,
}) => {
  await signIn(page, 'Wilf Tamsett')
  await page.goto('/search?q=binds%2C+drags')
  const jobs = page.locator('section').filter({ has: page.getByRole('heading', { name: 'Past jobs that tell of it' }) })
  await expect(jobs).toContainText(/Brake drags/)
  await expect(jobs).toContainText(/Renewed:.*spring/i)
  await expectGoodScreen(page)
  await page.getByText('Narrow', { exact: true }).click()
  await page.getByLabel('Number, word of the trade, machine, symptom').fill('seal')
  await page.getByLabel(/Fits machine/).fill('W-01')
  await page.getByLabel('On shelf now').check()
  await page.locator('main').getByRole('button', { name: 'Search' }).click()
  await expect(page).toHaveURL(/machine=W-01/)
  await expect(page.getByText(/lines that apply to S\/N/)).toBeVisible()
  await expect(page.locator('main table')).toContainText(/seal/i)
  await expectGoodScreen(page)
})

test('a symptom with a side in it gives the figure, and the job that is started from it has the side ticked', async ({
  page,
}) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/search?q=left+brake+binds')
  await expect(page.getByText('Read as the position: left')).toBeVisible()
  const figures = page.locator('section').filter({ has: page.getByRole('heading', { name: 'Figures' }) })
  await figures
    .getByRole('link', { name: /Hub and drum brake/ })
    .first()
    .click()
  await expect(page.getByRole('heading', { level: 1, name: /Hub and drum brake/ })).toBeVisible()
  const start = page.getByRole('link', { name: 'Log a repair with this part' })
  if (!(await start.isVisible()))
    await page
      .getByRole('button', { name: /brake shoe/i })
      .first()
      .click()
  await start.click()
  await expect(page.getByLabel('Left wheel')).toBeChecked()
  await expect(page.getByLabel('Right wheel')).not.toBeChecked()
})

test('short words with a slip and a number with the letter O for nought lead to their parts', async ({ page }) => {
  await signIn(page, 'Jory Penhale')
  for (const [typed, found] of [
    ['brake sheo', /brake shoe/i],
    ['split pn', /split pin/i],
  ] as const) {
    await page.goto(`/search?q=${encodeURIComponent(typed)}`)
    await expect(page.locator('main table').first()).toContainText(found)
  }
  await page.goto('/search?q=split+pin')
  const found = page.locator('main table td.number').filter({ hasText: '0' }).first()
  const number = ((await found.textContent()) ?? '').trim()
  await page.goto(`/search?q=${encodeURIComponent(number.replaceAll('0', 'O'))}`)
  await expect(page.locator('main table').first()).toContainText(number)
  await expect(page.locator('main table').first()).toContainText('another number than typed')
})

test('a storekeeper says what the workshop calls a thing, and search finds it at once', async ({ page }, info) => {
  const word = `whatsit ${info.project.name}`
  await signIn(page, 'Nell Arkwood')
  await page.getByRole('navigation', { name: 'Areas' }).getByRole('link', { name: 'Settings' }).click()
  await expect(page.getByRole('heading', { level: 1, name: 'Settings' })).toBeVisible()
  await expectGoodScreen(page)
  await page.getByRole('link', { name: 'Words of our workshop' }).click()
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Words of our workshop')
  await expectGoodScreen(page)
  const add = page.getByRole('form', { name: 'Add words for one thing' })
  await add.getByLabel(/Words/).fill(word)
  await add.getByRole('button', { name: 'Add' }).click()
  await expect(add.getByRole('alert')).toContainText('at least two words')
  await add.getByLabel(/Words/).fill(`${word}, brake shoe`)
  await add.getByRole('button', { name: 'Add' }).click()
  await expect(add.getByRole('status')).toContainText('From now on')
  await page.goto(`/search?q=${encodeURIComponent(word)}`)
  await expect(page.locator('main table')).toContainText(/Brake shoe/)
  await page.goto('/settings/words')
  await page.getByLabel(`Change ${word}, brake shoe`, { exact: true }).click()
  await expectGoodScreen(page)
  await page.getByRole('button', { name: 'Take this line off' }).first().click()
  await expect(page.getByRole('heading', { level: 3, name: new RegExp(word) })).toHaveCount(0)
})

test('what the driver tells of a mower leads to the knives that were at fault before, and into the job', async ({
  page,
}) => {
  await signIn(page, 'Jory Penhale')
  await page.goto('/machines')
  await page.getByRole('link', { name: 'M-01' }).click()
  await page.getByRole('link', { name: 'What may it be?' }).click()
  await page.getByRole('searchbox', { name: 'Complaint' }).fill('shaking at full revs')
  await page.getByRole('button', { name: 'Look in past jobs' }).click()
  const first = page.getByRole('main').getByRole('listitem').first()
  await expect(first).toContainText(/knife/i)
  await expect(first).toContainText('Speaks for it: shaking')
  await expect(first).toContainText(/Job \d+.*shak/i)
  await first.getByRole('link', { name: /Log a repair with this part/ }).click()
  await expect(page.getByRole('textbox', { name: 'Complaint' })).toHaveValue('shaking at full revs')
  await expect(page.getByRole('main')).toContainText(/knife/i)
})
