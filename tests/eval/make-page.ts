import { demoPage } from './demo-page.ts'
import { demoSpecs } from './demo-pages.ts'
import type { Picture } from './page-case.ts'
import { pictureOf } from './svg-ink.ts'

/** A page of the demo's parts book as a person would bring it: a PNG, and what stands on it. The same name gives the same page. */
export async function pageMade(name = 'demo-mower-rotor', dpi = 150): Promise<Picture> {
  const found = demoSpecs().find((one) => one.name === name)
  if (found === undefined)
    throw new Error(
      `${name}: there are ${demoSpecs()
        .map((one) => one.name)
        .join(', ')}`,
    )
  return pictureOf(await demoPage(found.spec), dpi)
}
