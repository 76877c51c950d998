import { INSTALLED_BASE } from './installed-base.ts'
import { SPREAD_NAME } from './past-year-result.ts'

/** What a way to set levels is called on the screen, and how it goes about it. */
export const WAY_WORDS: Readonly<Record<string, { name: string; says: string }>> = {
  normal: { name: 'Mean and spread', says: 'mean and spread of the past months, as a bell curve' },
  'poisson-sba': {
    name: 'Forecast alone',
    says: 'forecast of Syntetos and Boylan; months spread as calls at random do (Poisson)',
  },
  'negbin-sba': {
    name: 'Forecast and spread',
    says: 'the same forecast; months spread as widely as they did (negative binomial)',
  },
  bootstrap: { name: 'Past months again', says: 'every past month as likely as the other, each drawn by itself' },
  [INSTALLED_BASE.name]: {
    name: 'Running hours, part by part',
    says: 'how often it failed per running hour, learned from its class too; each part has to reach the aim',
  },
  [SPREAD_NAME]: {
    name: 'Running hours, shelf as a whole',
    says: 'the same, but the aim is for all parts together: cheap parts that are asked for often get more, dear ones less',
  },
}

export const wayName = (name: string): string => WAY_WORDS[name]?.name ?? name
