import { z } from 'zod'
import { JOINTS } from '../catalogue/joint.ts'
import { PART_CLASSES } from '../catalogue/part-class.ts'
import { FigureTest } from '../job/measurement.ts'
import { STOCK_UNITS } from '../measure/quantity.ts'
import { SHAFT_ENDS } from './shaft-end.ts'

/** The item number printed on the drawing: 7, 12A. Compared without case and spaces. */
export const Item = z
  .string()
  .trim()
  .regex(/^[0-9A-Za-z][0-9A-Za-z.\-/]{0,7}$/, 'an item is what the drawing prints beside its leader line: 7 or 12A')

/** What runs out where a joint is opened. */
export const FLUIDS = ['engine-oil', 'gear-oil', 'hydraulic-oil', 'coolant', 'fuel', 'water'] as const

const Millimetres = z.number().positive().max(5000)

/** Facts of one joint, as the drawing or the maker's manual gives them. Rules read them; every one is optional. */
const StepWords = z.string().trim().min(5).max(160).array().min(1).max(4).optional()

export const LineFacts = z.strictObject({
  /** Places around a rotor or hub, numbered 1..n; the opposite of k is k + n/2. */
  stations: z.number().int().min(2).max(400).optional(),
  /**
   * Ends of the rotor or shaft at which it sits: at both, with half of its quantity at each; or at the one end alone for whose
   * sake it comes off. What comes off whichever end is worked on names none.
   */
  ends: z.enum(SHAFT_ENDS).array().min(1).max(2).optional(),
  /** ISO metric thread, e.g. M16 or M16x1.5. */
  thread: z
    .string()
    .regex(/^M\d+(\.\d+)?(x\d+(\.\d+)?)?$/)
    .optional(),
  propertyClass: z.enum(['4.6', '5.8', '8.8', '10.9', '12.9']).optional(),
  torqueNm: z.number().positive().max(5000).optional(),
  /** The state of the thread that the maker's torque is given for. */
  torqueState: z.enum(['dry', 'oiled', 'anti-seize', 'thread-lock']).optional(),
  /** Hole drilled for a split pin, in the bolt or clevis pin of this line. */
  splitPinHoleMm: Millimetres.optional(),
  /** Clevis pin that swings, so that ISO 1234 asks for the stouter split pin. */
  clevisPinMm: Millimetres.optional(),
  /** How the joint wants to be put together. */
  joint: z.enum(JOINTS).array().max(4).optional(),
  /**
   * Items that this seal lies against: when one of them comes off, its joint is open. Of a bearing behind a hub seal: that seal,
   * without which it is loose. Only where the strip order does not show it: a gasket, O-ring or sealing washer belongs to what comes off right before it.
   */
  seals: Item.array().min(1).max(8).optional(),
  /**
   * Item that this one sits on and comes out with, as a piston on its rod: when that is renewed, it moves to the new one, and what
   * holds or seals it there is disturbed.
   */
  sitsOn: Item.optional(),
  /** Item that this one is made or run in with, so that they are renewed together. */
  matchedWith: Item.optional(),
  /** What runs out and is filled, where the joint tells. */
  fluid: z.enum(FLUIDS).optional(),
  /** Brakes, steering and cutting parts get a new locking nut every time. */
  safetyJoint: z.enum(['brake', 'steering', 'cutting', 'pto']).optional(),
  /** Oil or coolant that runs out when this comes off, litres. */
  fillLitres: z.number().positive().max(500).optional(),
  /** Mass to lift, kilograms. */
  massKg: z.number().positive().max(20000).optional(),
  /**
   * What is done around this part that is no part of the list coming off: the wheel that its nuts hold, a star wheel to be
   * slackened. Before and after it comes off, before and after it goes on, in words of the job card.
   */
  stripFirst: StepWords,
  /** Done once for all sides in hand, before the first part comes off: how the machine is set up, as lifting its axle. */
  stripOnce: StepWords,
  stripThen: StepWords,
  fitFirst: StepWords,
  fitThen: StepWords,
})
export type LineFacts = z.infer<typeof LineFacts>

/** Facts of the part itself, wherever it is fitted. */
export const PartFacts = z.strictObject({
  splitPinMm: Millimetres.optional(),
  lengthMm: Millimetres.optional(),
  boreMm: Millimetres.optional(),
  outsideMm: Millimetres.optional(),
  widthMm: Millimetres.optional(),
  thread: z.string().max(20).optional(),
  propertyClass: z.string().max(8).optional(),
  /** Grade of a compound: nickel, copper, metal-free; low, medium, high; lithium EP2. */
  grade: z.string().max(40).optional(),
})
export type PartFacts = z.infer<typeof PartFacts>

export const FigurePosition = z.strictObject({
  /** LH, RH, FRONT, REAR, or a number. */
  code: z.string().trim().min(1).max(12),
  label: z.string().trim().min(1).max(60),
  /** Code of the position that wears with it: the other wheel of the axle. */
  pairedWith: z.string().trim().max(12).optional(),
})
export type FigurePosition = z.infer<typeof FigurePosition>

const Coordinate = z.number().min(0).max(100000)
export const CalloutFile = z.strictObject({
  item: Item,
  /** Centre of the printed number, in pixels (user units for SVG) of the picture, origin top left. */
  x: Coordinate,
  y: Coordinate,
  /** Where each leader line ends on a part. */
  tips: z.array(z.strictObject({ x: Coordinate, y: Coordinate })).max(40),
})
export type CalloutFile = z.infer<typeof CalloutFile>

export const PartsListLineFile = z.strictObject({
  item: Item,
  /** Absent when the parts book prints none: the line then gets the number FIGURE-ITEM of its own. */
  partNumber: z.string().trim().min(1).max(60).optional(),
  maker: z.string().trim().min(1).max(80).optional(),
  description: z.string().trim().min(1).max(200),
  /** Pieces (or stock units) per assembly, i.e. at each position. */
  quantity: z.number().positive().max(100000),
  /** What the book prints instead of a number: AR (as required), REF. */
  quantityNote: z.string().trim().max(20).optional(),
  /** 0 is the assembly itself, 1 its parts, 2 parts of parts. */
  indenture: z.number().int().min(0).max(9).default(1),
  /** Item whose part this line holds: attaching parts stand below what they hold. */
  attaches: Item.optional(),
  serialFrom: z.string().trim().max(40).optional(),
  serialTo: z.string().trim().max(40).optional(),
  /** Instead of the two above, as the book prints it and several ranges too: "A100-A250, B001-". */
  serials: z.string().trim().min(1).max(200).optional(),
  side: z.enum(['LH', 'RH']).optional(),
  note: z.string().trim().max(300).optional(),
  /** Not sold separately: the item of this list to order instead. */
  orderItem: Item.optional(),
  partClass: z.enum(PART_CLASSES).default('other'),
  unit: z.enum(STOCK_UNITS).default('each'),
  facts: LineFacts.default({}),
  partFacts: PartFacts.default({}),
})
export type PartsListLineFile = z.infer<typeof PartsListLineFile>

/** What is to be known at a step of the strip order. */
export const StripStepFile = z.strictObject({
  item: Item,
  /** "slacken the adjuster" */
  note: z.string().trim().min(1).max(200).optional(),
  /** Off and on again. */
  minutes: z.number().int().min(1).max(6000).optional(),
})
export type StripStepFile = z.infer<typeof StripStepFile>

/** One figure of a parts book as a file: a picture, its callouts, its parts list and the order of strip-down. */
export const FigureFile = z.strictObject({
  format: z.literal('cotterbook-figure'),
  version: z.literal(1),
  title: z.string().trim().min(1).max(120),
  /** As printed in the book: 4-02. */
  number: z.string().trim().min(1).max(20),
  model: z.strictObject({
    maker: z.string().trim().min(1).max(80),
    name: z.string().trim().min(1).max(80),
    kind: z.string().trim().max(60).default('machine'),
  }),
  picture: z.strictObject({
    file: z.string().min(1).max(200),
    width: z.number().positive().max(100000),
    height: z.number().positive().max(100000),
  }),
  /** Where the assembly sits on the machine. Empty: once. */
  positions: z.array(FigurePosition).max(60).default([]),
  callouts: z.array(CalloutFile).max(2000),
  lines: z.array(PartsListLineFile).min(1).max(5000),
  /** first comes off before then. */
  stripOrder: z
    .array(z.strictObject({ first: Item, then: Item }))
    .max(20000)
    .default([]),
  /** Steps in the order they come off, with what is to be known at each; items the order says nothing of may be left out. */
  stripSteps: z.array(StripStepFile).max(5000).default([]),
  /** Tests before the machine is released, as the maker's manual asks for them. */
  tests: z.array(FigureTest).max(40).default([]),
  /** Where the drawing comes from and under which licence. */
  credit: z.string().trim().max(400).optional(),
})
export type FigureFile = z.infer<typeof FigureFile>
export type FigureFileInput = z.input<typeof FigureFile>
