import { BUYING_REFUSALS } from './buying/refusals.ts'
import { COST_CENTRE_REFUSALS } from './cost-centre/refusals.ts'
import { DEPOSIT_REFUSALS } from './deposit/refusals.ts'
import { EXCHANGE_REFUSALS } from './exchange/refusals.ts'
import { FASTENER_REFUSALS } from './fastener/refusals.ts'
import { INVOICE_REFUSALS } from './invoice/refusals.ts'
import { JOB_REFUSALS } from './job/refusals.ts'
import { PRICE_REFUSALS } from './price/refusals.ts'
import { LEVEL_REFUSALS, PLAN_REFUSALS } from './replenish/refusals.ts'
import { SERVICE_REFUSALS } from './service/refusals.ts'
import { STOCK_REFUSALS } from './stock/refusals.ts'
import { WINTER_REFUSALS } from './winter/refusals.ts'

/**
 * Every refusal has a code of its own. The table gives the HTTP status, what happened, what was kept and what to do next;
 * `{name}` is filled from the refusal's details. A refusal is an answer, not a fault: nothing was written.
 */
export const REFUSALS = {
  'input/invalid': [
    422,
    'Some of what was entered cannot be used: {what}',
    'Nothing was changed. Correct the marked fields and send again.',
  ],
  'input/no-key': [400, 'The request has no idempotency key.', 'Send it again with a key made once for this action.'],
  'write/key-reused': [
    409,
    'This action was already sent with other content.',
    'Nothing was changed. Reload the page and enter it again.',
  ],
  'database/busy': [
    503,
    'The database is busy with another write.',
    'Nothing was changed. Try again in a few seconds.',
  ],
  'people/not-signed-in': [401, 'You are not signed in.', 'Sign in and send it again.'],
  'people/wrong-secret': [
    401,
    'Name and PIN or password do not belong together.',
    'Try again, or ask a manager to set a new one.',
  ],
  'people/wrong-signature': [
    401,
    'That is not your PIN or password.',
    'Nothing was released. Type your own; only who signs may release the machine.',
  ],
  'people/wait': [429, 'Too many wrong tries for {name}.', 'Wait {seconds} seconds, then try again.'],
  'people/not-allowed': [
    403,
    'Your roles do not allow this: {right}.',
    'Ask {roles} to do it, or a manager to give you the role.',
  ],
  'people/name-taken': [409, 'A person called {name} is already on the list.', 'Choose another name.'],
  'people/last-manager': [409, '{name} is the last manager.', 'Make somebody else a manager first.'],
  'people/already-set-up': [409, 'The first manager exists already.', 'Sign in.'],
  'people/no-such': [404, 'That person is not on the list.', 'Reload the list of people.'],
  'people/busy': [503, 'Too many people are signing in at this moment.', 'Try again in a few seconds.'],
  ...STOCK_REFUSALS,
  ...LEVEL_REFUSALS,
  ...PLAN_REFUSALS,
  ...DEPOSIT_REFUSALS,
  ...EXCHANGE_REFUSALS,
  ...PRICE_REFUSALS,
  ...WINTER_REFUSALS,
  ...COST_CENTRE_REFUSALS,
  ...BUYING_REFUSALS,
  'label/none': [404, 'Nothing is chosen that gets a label.', 'Choose bins, parts or machines on the Labels screen.'],
  'label/too-many': [
    422,
    '{count} labels are more than are printed at once.',
    'Choose a store or fewer copies: at most {most} at a time.',
  ],
  'search/words-twice': [
    409,
    'The words {words} stand on the list already.',
    'Nothing was changed. Add to the line that has them, or enter other words.',
  ],
  'search/words-gone': [404, 'That line of words is no longer there.', 'Reload the list of words.'],
  'catalogue/cycle': [409, 'That would make a loop: {loop}.', 'Nothing was changed. Check which part replaces which.'],
  'catalogue/part-exists': [
    409,
    '{maker} {number} is a part already.',
    'Nothing was changed. Open its card, or give the new part another number or maker.',
  ],
  'catalogue/unit-locked': [
    409,
    '{number} has been kept by the {unit} and has movements, offers or lists in that unit.',
    'Nothing was changed. Enter a new part with the other unit and mark this one as superseded by it.',
  ],
  'catalogue/which-part': [
    422,
    '{number} is a number of several makers: {makers}.',
    'Nothing was changed. Write the maker as well.',
  ],
  'catalogue/same-part': [
    422,
    '{number} is the part itself.',
    'Nothing was changed. Enter the number of the other part.',
  ],
  'catalogue/known-link': [
    409,
    '{number} is entered for {part} already.',
    'Nothing was changed. Change what is there instead.',
  ],
  'catalogue/no-such': [404, 'That entry is not on the card any more.', 'Reload the card of the part.'],
  'figure/strip-cycle': [422, 'The strip order runs in a circle: {loop}.', 'Take out one of the steps named.'],
  'figure/unknown-item': [
    422,
    'The parts list has no item {item} ({where}).',
    'Correct the item number or add its line.',
  ],
  'figure/exists': [
    409,
    'Figure {number} of {model} is already in the parts book.',
    'Give the new one another number.',
  ],
  'figure/other-model': [
    422,
    'Figure {figure} is not of the parts book of {machine}: that machine is a {model}.',
    'Choose a machine of a model that has this figure.',
  ],
  'figure/no-position': [422, 'Figure {figure} has no position {code}.', 'Say one that it has: {choice}.'],
  'figure/strip-changed': [
    409,
    '{who} while you worked on yours.',
    'Yours is still here: look at the other, put both together, or save yours in its place.',
  ],
  'figure/tests-changed': [
    409,
    '{who} saved another list of tests while you worked on yours.',
    'Yours is still here: look at the other, put both together, or save yours in its place.',
  ],
  'figure/no-such': [404, 'There is no such figure.', 'Go back to the parts book.'],
  'desk/no-such': [404, 'There is no such page on the desk.', 'Go back to the page desk.'],
  'desk/no-page': [
    422,
    'No page of {name} was chosen; it has pages 1 to {pages}.',
    'Tick at least one page, then read.',
  ],
  'desk/too-many': [422, 'Too many pages at once: {count}; at most {limit} are read in one go.', 'Choose fewer pages.'],
  'desk/too-heavy': [
    413,
    '{name} has {megabytes} MB; at most {limit} MB are taken in.',
    'Nothing was kept. Take the pages that are needed into a file of their own.',
  ],
  'desk/stale': [
    409,
    'The page was changed in another window at {time}.',
    'What that window saved is kept. Load the page again to go on from there; what was done here since then is not in it.',
  ],
  'desk/not-ready': [409, 'The page is {state}: {why}', 'Go back to the page desk and open it from there.'],
  'desk/file-gone': [
    404,
    'The file of this page is not in the data folder any more.',
    'Nothing was changed. Bring the page in again.',
  ],
  ...FASTENER_REFUSALS,
  'companion/bad-rule': [
    422,
    'Rule {rule} cannot be used: {why}',
    'Nothing was changed. Correct the rule and save it again.',
  ],
  'companion/no-such-rule': [404, 'There is no rule {rule}.', 'Look for it in the list of rules.'],
  'companion/rule-moved': [
    409,
    '{by} changed this rule while you looked at it.',
    'Nothing was changed. Reload the page, look at the rule as it is now, and enter it again.',
  ],
  'picture/wrong-type': [
    415,
    'The picture says it is {claimed}, but it is {found}.',
    'Nothing was kept. Save it again as PNG, JPEG, WebP, TIFF or SVG.',
  ],
  'picture/broken': [422, 'The picture cannot be read to its end: {why}', 'Nothing was kept. Save or scan it again.'],
  'picture/too-large': [
    413,
    'The picture has {pixels} megapixels; at most {limit} are read.',
    'Nothing was kept. Scan at a lower resolution or cut the page.',
  ],
  'picture/too-heavy': [
    413,
    'The picture file is too heavy: {what}. At most {limit} are read.',
    'Nothing was kept. Save it at a lower resolution or with less detail.',
  ],
  'picture/unsafe': [
    422,
    'The drawing holds something that could run or load from elsewhere: {what}.',
    'Nothing was kept. Export it as plain line art.',
  ],
  'document/wrong-type': [
    415,
    'The document {name} is no PDF: its first bytes say otherwise.',
    'Nothing was kept. Save it as PDF, or add a picture as PNG, JPEG, WebP or TIFF.',
  ],
  'document/broken': [422, 'The document {name} cannot be kept: {why}', 'Nothing was kept. Save it again as PDF.'],
  'document/too-heavy': [
    413,
    'The document has {what}; at most {limit} are kept.',
    'Nothing was kept. Save it with less detail, or only the pages that matter.',
  ],
  'page/no-file': [404, 'There is no file {file}.', 'Check the name and the folder, then read it again.'],
  'page/wrong-type': [
    415,
    '{file} holds no page that can be read: it is {found}.',
    'Nothing was kept. Save or scan the page as PDF, PNG, JPEG, TIFF, WebP or SVG.',
  ],
  'page/locked': [
    422,
    '{file} is locked with a password.',
    'Nothing was kept. Open it with its password and save or print it to a new PDF without one.',
  ],
  'page/broken': [
    422,
    '{file}, {where}: it cannot be read to its end: {why}',
    'Nothing was kept. Save or scan it again; of a damaged PDF, print the page to a new PDF.',
  ],
  'page/too-large': [
    413,
    '{file}, page {page}: {pixels} megapixels; at most {limit} are read.',
    'Nothing was kept. Scan it at 200 to 300 dpi, or cut the page out.',
  ],
  'page/too-heavy': [
    413,
    '{file} is too heavy: {what}. At most {limit} are read.',
    'Nothing was kept. Take the pages that are needed into a file of their own.',
  ],
  'page/no-such-page': [
    404,
    '{file} has no page {page}; it has {pages}.',
    'Nothing was read. Ask for a page from 1 to {pages}.',
  ],
  'page/too-long': [
    503,
    '{file}, page {page}: reading was stopped after {seconds} seconds.',
    'Nothing was kept. Save the page as a picture at 200 dpi and read that.',
  ],
  'page/reader-died': [
    503,
    '{file}, page {page}: the reader stopped on it: {why}.',
    'Nothing was kept and nothing else is affected. Read it again; if it stops again, save the page as a picture at 200 dpi and read that.',
  ],
  'page/no-engine': [
    501,
    'This machine ({system}) cannot read print: the engine for it is not there: {why}',
    'Nothing was kept. Install the packages again with npm ci. The engine runs on 64-bit Linux (with glibc), macOS and Windows: on another system read the page elsewhere.',
  ],
  'page/cancelled': [
    409,
    '{file}, page {page}: reading was cancelled.',
    'Nothing was kept. Start it again when wanted.',
  ],
  'import/unreadable': [
    422,
    '{file} cannot be read: {why}',
    'Nothing was imported. Correct it and run the import again.',
  ],
  'import/refused': [
    422,
    'In {file}, things that stand in the way: {count}.',
    'Nothing was imported. Correct what is listed below and run it again.',
  ],
  ...INVOICE_REFUSALS,
  ...JOB_REFUSALS,
  'machine/fleet-taken': [
    409,
    'Fleet number {fleetNumber} belongs to {name} already.',
    'Nothing was entered. Choose another fleet number.',
  ],
  'machine/meter-below': [
    422,
    'The hour meter cannot show {reading}: the last reading was {last}.',
    'Nothing was changed. Correct the reading; if it is right, say why: the meter was replaced, or the last reading was wrong.',
  ],
  'machine/meter-jump': [
    422,
    'The machine cannot have run to {reading}: the last reading was {last}, and a day has 24 hours.',
    'Nothing was changed. Correct the reading; if it is right, say why: the meter was replaced, or the last reading was wrong.',
  ],
  'machine/no-such': [404, 'There is no machine {machine}.', 'Go back to the list of machines.'],
  'demo/not-empty': [
    409,
    'The database is not empty: {what}.',
    'Nothing was changed. The demo goes into an empty database only: set DATA_DIR to another folder.',
  ],
  'service-book/no-such': [404, 'There is no such service book entry.', 'Go back to the machine.'],
  'workshop/no-database': [
    404,
    'There is no database at {file}.',
    'Nothing was made. Set DATA_DIR to the folder of the workshop, or run npm start.',
  ],
  'workshop/served': [
    409,
    'The data in {folder} is in use by process {pid}.',
    'Nothing was changed. Stop it first, then run this again.',
  ],
  'workshop/stale-hold': [
    409,
    'A server that did not end properly left {file} behind (process {pid}, not found on this machine).',
    'Nothing was changed. Make sure that no server uses the data, also on another machine, then run it with --force.',
  ],
  'workshop/not-built': [
    409,
    'The screens are not built.',
    'Nothing was started. Run npm start, which builds and serves.',
  ],
  ...SERVICE_REFUSALS,
  'backup/exists': [
    409,
    '{file} is there already.',
    'It was kept as it is. Name another file, or run it with --force to replace it.',
  ],
  'backup/not-written': [
    500,
    'The backup could not be written to {file}: {why}',
    'No half backup was left behind. Check the folder and the free space and run it again.',
  ],
  'backup/refused': [
    422,
    '{file} is no backup that can be trusted.',
    'The data that is there stands as before. Use another backup.',
  ],
  'backup/not-restored': [
    500,
    'The backup could not be put in place: {why}',
    'The data that was there stands as before. Correct the cause and run it again.',
  ],
  'verify/not-checked': [
    503,
    '{file} was not checked: {why}',
    'Nothing was changed. Put that right and run it again; until then take the file for unproven.',
  ],
} as const satisfies Record<string, readonly [status: number, happened: string, next: string]>
