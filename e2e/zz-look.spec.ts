import { signIn, test } from './support/workshop.ts'

test('look', async ({ page }, info) => {
  await signIn(page, 'Sam Lutterby')
  for (const id of [1, 2, 40, 120]) {
    await page.goto(`/parts/${id}/level`)
    for (const one of await page.locator('details > summary').all()) if (id < 3) await one.click()
    await page.screenshot({ path: `/tmp/look-level/${info.project.name}-${id}.png`, fullPage: true })
  }
})
