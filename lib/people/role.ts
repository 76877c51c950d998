import { Refusal } from '../refusal.ts'

/** What a person of the workshop does. One person may have several roles; in a small workshop one has all of them. */
export const ROLES = ['mechanic', 'storekeeper', 'buyer', 'manager'] as const
export type Role = (typeof ROLES)[number]

export const ROLE_SENTENCES: Record<Role, string> = {
  mechanic: 'repairs machines and takes parts for it',
  storekeeper: 'keeps the shelf right',
  buyer: 'orders parts and chases them',
  manager: 'may do everything, and decides who else may',
}

/**
 * Who may do what. Everybody who is signed in reads everything, so only writing is listed. A manager may do all of it and is
 * not repeated in the rows. The sentence completes "may ..." on screens and in refusals.
 */
export const RIGHTS = {
  'job.open': { sentence: 'open a job', roles: ['mechanic', 'storekeeper'] },
  'job.work': { sentence: 'plan and carry out a job', roles: ['mechanic'] },
  'job.close': { sentence: 'release a machine and close its job', roles: ['mechanic'] },
  'stock.issue': { sentence: 'take parts from the shelf and put them back', roles: ['mechanic', 'storekeeper'] },
  'stock.receive': { sentence: 'put parts on the shelf', roles: ['storekeeper'] },
  'stock.count': { sentence: 'count a bin', roles: ['storekeeper'] },
  'stock.approve': { sentence: 'approve large count differences, and say how counting is done', roles: [] },
  // A mechanic fills the van before going out to a machine.
  'stock.transfer': { sentence: 'move parts from bin to bin', roles: ['mechanic', 'storekeeper'] },
  'stock.places': { sentence: 'set up stores and bins', roles: ['storekeeper'] },
  'stock.scrap': { sentence: 'scrap parts', roles: ['storekeeper'] },
  'stock.reverse': { sentence: 'put a wrong movement right', roles: ['storekeeper'] },
  'stock.level': { sentence: 'set reorder points and order-up-to levels', roles: ['storekeeper', 'buyer'] },
  'level.reckon': {
    sentence: 'have all levels reckoned, decide on what is proposed and say how it is done',
    roles: ['buyer'],
  },
  'buying.order': { sentence: 'order from suppliers', roles: ['buyer'] },
  'buying.approve': {
    sentence: 'approve orders above the limit, and say how orders are approved and chased',
    roles: [],
  },
  'winter.plan': { sentence: 'plan the winter', roles: ['mechanic', 'buyer'] },
  'budget.keep': { sentence: 'keep cost centres and say what each may spend', roles: [] },
  'buying.receive': { sentence: 'book in what a supplier sent', roles: ['storekeeper', 'buyer'] },
  'buying.return': {
    sentence: 'keep deposits, send old units back and book what is credited',
    roles: ['storekeeper', 'buyer'],
  },
  'catalogue.import': { sentence: 'bring in parts lists, prices and drawings', roles: ['storekeeper', 'buyer'] },
  'search.words': { sentence: 'say what this workshop calls things', roles: ['storekeeper'] },
  'catalogue.edit': {
    sentence: 'change parts, what replaces them, in what order they come off, and how they are tested',
    roles: ['storekeeper'],
  },
  'rules.change': { sentence: 'change the rules of what a job also needs', roles: ['storekeeper'] },
  'catalogue.note': { sentence: 'keep notes with a part', roles: ['mechanic', 'storekeeper', 'buyer'] },
  'people.manage': { sentence: 'say who may sign in and do what', roles: [] },
  'machine.hours': { sentence: 'read an hour meter', roles: ['mechanic', 'storekeeper'] },
  'machine.state': { sentence: 'mark a machine working, unsafe or laid up', roles: ['mechanic'] },
  'service.plan': { sentence: 'say what is serviced and how often', roles: ['mechanic'] },
  'service-book.correct': { sentence: 'add a correction to the service book', roles: ['mechanic'] },
} as const satisfies Record<string, { sentence: string; roles: readonly Exclude<Role, 'manager'>[] }>

export type Right = keyof typeof RIGHTS

export function rightIs(text: string): text is Right {
  return Object.hasOwn(RIGHTS, text)
}

export function roleIs(text: string): text is Role {
  return (ROLES as readonly string[]).includes(text)
}

/** The roles that have the right, the manager last. */
export function rolesFor(right: Right): Role[] {
  return [...RIGHTS[right].roles, 'manager']
}

export function mayDo(roles: readonly Role[], right: Right): boolean {
  return rolesFor(right).some((role) => roles.includes(role))
}

/** `a mechanic or a storekeeper`: whom to ask, the manager only where nobody else may. */
export function rightWhomToAsk(right: Right): string {
  const roles = RIGHTS[right].roles
  return roles.length === 0 ? 'a manager' : roles.map((role) => `a ${role}`).join(' or ')
}

/** @throws Refusal people/not-allowed when none of the roles has the right. */
export function rightRequire(roles: readonly Role[], right: Right): void {
  if (mayDo(roles, right)) return
  throw new Refusal('people/not-allowed', { right: RIGHTS[right].sentence, roles: rightWhomToAsk(right) })
}
