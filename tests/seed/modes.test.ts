import { describe, expect, test } from 'vitest'
import type { PartClass } from '../../lib/catalogue/part-class.ts'
import type { ModelKey } from '../../seed/estate/machines.ts'
import { type Mode, modesOf } from '../../seed/estate/modes.ts'
import { TROUBLES } from '../../seed/estate/spare-wear.ts'
import { FIGURES } from '../../seed/figures/index.ts'
import { MODELS } from '../../seed/figures/makers.ts'
import { WEAR } from '../../seed/wear.ts'

/** Every place of the estate where something wears, with what may be said of it. */
const keyOf = ({ maker, name }: { maker: string; name: string }) =>
  (Object.keys(MODELS) as ModelKey[]).find((key) => MODELS[key].maker === maker && MODELS[key].name === name)!
const places = [
  ...FIGURES.flatMap(({ figure }) => {
    const { file } = figure()
    const model = keyOf(file.model)
    return file.lines.map((line) => ({
      at: `${model} ${file.number} ${line.item} ${line.description}`,
      model,
      figure: file.number,
      partClass: (line.partClass ?? 'other') as PartClass,
      modes: modesOf((line.partClass ?? 'other') as PartClass, [`${model} ${file.number}`, model]),
    }))
  }),
  ...(Object.keys(TROUBLES) as ModelKey[]).flatMap((model) =>
    TROUBLES[model].map((trouble) => ({
      at: `${model}/${trouble.key}`,
      model,
      figure: '',
      partClass: trouble.partClass,
      modes: modesOf(trouble.partClass, [`${model}/${trouble.key}`, model]),
    })),
  ),
].filter((place) => WEAR[place.partClass] !== undefined)

const said = (modes: readonly Mode[]) => modes.flatMap((mode) => [...mode.complaint, ...mode.cause, ...mode.correction])
const wrong = (of: typeof places, words: RegExp) =>
  of.flatMap(({ at, modes }) =>
    said(modes)
      .filter((text) => words.test(text))
      .map((text) => `${at}: ${text}`),
  )

// What a machine does that has no engine, no pump and no rotor: common practice, no source.
describe('what a driver of the estate says', () => {
  test('there is something to say wherever a part wears', () => {
    expect(places.length).toBeGreaterThan(60)
    expect(places.filter((place) => place.modes.length === 0).map((place) => place.at)).toEqual([])
  })

  test('a trailer has no engine, no shaft and no spray', () => {
    const trailer = places.filter((place) => place.model === 'trailer')
    expect(trailer.length).toBeGreaterThan(12)
    expect(
      wrong(
        trailer,
        /engine|revs|idl(e|ing)|bonnet|uphill|smok|does not start|turns over|PTO|rotor|knife|nozzle|spray|tank|gauge|draws|prime|mow|hydraulics|pedal|fluid|arm sinks|boom|pump/i,
      ),
    ).toEqual([])
  })

  test('brakes are complained of where brakes are, wheels where wheels are', () => {
    const other = places.filter((place) => place.model !== 'trailer')
    expect(wrong(other, /\bbrake|braking|trailer|tipping/i)).toEqual([])
    const wheeled = new Set(['trailer 5-04', 'trailer 5-07', 'tractor74 2-03'])
    const still = places.filter(
      (place) => place.figure !== '' && !wheeled.has(`${place.model} ${place.figure}`) && place.model !== 'telehandler',
    )
    expect(wrong(still, /\bhub\b|\bwheel\b/i)).toEqual([])
  })

  test('only what has an engine of its own fails to start, smokes or runs hot at the fan', () => {
    const driven = places.filter((place) => ['mower', 'sprayer', 'trailer', 'shredder'].includes(place.model))
    expect(wrong(driven, /does not start|turns over|bonnet|uphill|coolant|smokes|charge lamp/i)).toEqual([])
  })

  test('the shredder has hammers, the mower has knives', () => {
    expect(
      wrong(
        places.filter((place) => place.model === 'shredder'),
        /mow|grass|uncut|knife|mulch/i,
      ),
    ).toEqual([])
    expect(
      wrong(
        places.filter((place) => place.model === 'mower'),
        /hammer|branch|chips/i,
      ),
    ).toEqual([])
  })
})
