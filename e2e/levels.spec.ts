import { expect, expectGoodScreen, signIn, test } from './support/workshop.ts'

test('the buyer has all levels reckoned, keeps one, refuses one with a reason, and keeps one by hand until a day', async ({
  page,
}) => {
  await signIn(page, 'Odile Brandreth')
  // Of what was never used nothing can be tried, and it says so.
  await page.goto('/parts/1/level')
  await expect(page.getByText(/can be tried here once some of it was used/)).toBeVisible()
  await expect(page.getByRole('group', { name: 'What if' })).toHaveCount(0)

  await page.goto('/buying')
  await page.getByRole('link', { name: 'Levels', exact: true }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Levels')
  await page.getByRole('button', { name: 'Reckon all levels' }).click()
  // In a process of its own: the page follows by itself.
  await expect(page.getByLabel('Last reckoning')).toContainText(/Reckoned .*\d+ parts, \d+ changes proposed/, {
    timeout: 90_000,
  })
  await expectGoodScreen(page)

  await page.getByLabel('Which').selectOption({ label: 'Less is kept' })
  await page.getByRole('button', { name: 'Show' }).click()
  await expect(page).toHaveURL(/way=fall/)
  const rows = page.getByRole('table').getByRole('row')
  await expect(rows.nth(1)).toContainText('-£')
  const number = async (at: number) => (await rows.nth(at).getByRole('link').first().textContent())?.trim() ?? ''
  const [kept, refused] = [await number(1), await number(2)]
  const keptAt = (await rows.nth(1).getByRole('link').first().getAttribute('href')) ?? ''
  const proposed = (await rows.nth(1).getByRole('cell').nth(3).textContent())?.trim() ?? ''
  await page.getByLabel(kept, { exact: true }).check()
  await page.getByRole('button', { name: 'Keep these levels' }).click()
  await expect(page.getByText('1 level kept.')).toBeVisible()
  await expect(page.getByRole('link', { name: kept, exact: true })).toHaveCount(0)

  await page.getByLabel(refused, { exact: true }).check()
  await page.getByRole('button', { name: 'Refuse' }).click()
  await expect(page.getByText('say why not, in a few words', { exact: true })).toBeVisible()
  await page.getByLabel('Why not').fill('a second machine comes in spring')
  await page.getByRole('button', { name: 'Refuse' }).click()
  await expect(page.getByText(/1 level refused/)).toBeVisible()

  await page.getByRole('link', { name: new RegExp(`^${await number(1)}`) }).click()
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('How many to keep, and why')
  await expect(page.getByText(/Waits for a yes/)).toBeVisible()
  await expect(page.getByText(/per hour that machines run/)).toBeVisible()
  // A longer lead time asks for more, and the year run again under it follows at once.
  const again = page.getByRole('region', { name: 'The last twelve months, run again' })
  await expect(again.getByRole('row').filter({ hasText: 'Proposed' })).toHaveCount(1)
  const shorter = await again.textContent()
  await page.getByLabel('Lead time, days').fill('300')
  await expect(again).not.toHaveText(shorter ?? '')
  await page.getByText('Keep the level by hand').first().click()
  await page.getByLabel('Until', { exact: true }).fill('2099-12-31')
  await page.getByLabel('Why', { exact: true }).fill('as the maker of the machine says')
  await page.getByRole('button', { name: 'Keep it by hand' }).click()
  await expect(page.getByText(/Kept by hand until/)).toBeVisible()
  await expectGoodScreen(page)

  await page.goto(keptAt)
  const change = page.getByRole('region', { name: 'How the level was changed' }).getByRole('row').nth(1)
  await expect(change).toContainText('Odile Brandreth, as reckoned')
  await expect(change).toContainText(proposed)
})

test('the workshop aims at looks that leave nobody waiting, and the page of a part goes by it', async ({ page }) => {
  await signIn(page, 'Sam Lutterby')
  const aims = ['Vital', 'Essential', 'Desirable'].map((criticality) => `${criticality} parts: share of`)
  const choose = async (kind: 'fill' | 'cycle') => {
    await page.goto('/settings/levels')
    for (const aim of aims) await page.getByLabel(aim).selectOption(kind)
    await page.getByRole('button', { name: 'Save' }).click()
    await expect(
      page.getByText('The next reckoning goes by this; levels that are kept stay as they are.'),
    ).toBeVisible()
  }
  await choose('cycle')
  await page.goto('/settings/levels')
  for (const aim of aims) await expect(page.getByLabel(aim)).toHaveValue('cycle')
  await expectGoodScreen(page)

  await page.goto('/parts/2/level')
  const proposed = page.getByRole('region', { name: 'Proposed' })
  await expect(proposed).toContainText(/the aim is nobody waiting after \d+ of 1000? looks at the shelf/)
  await page.getByLabel('Aim').selectOption({ label: 'another share there at once' })
  await expect(proposed).toContainText(/the aim is \d+ of 1000? there at once/)
  await page.getByLabel('Aim').selectOption({ label: 'nobody waiting after another share of looks' })
  await page.getByLabel('Of 100 looks').fill('80')
  await expect(proposed).toContainText('the aim is nobody waiting after 80 of 100 looks at the shelf')
  await expectGoodScreen(page)
  await choose('fill')
})
