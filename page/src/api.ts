// The one door to the server: typed by its own description, errors in one shape.
import createClient from 'openapi-fetch';
import type { components, paths } from './api.gen';

export type Job = components['schemas']['JobOut'];
export type JobRow = components['schemas']['JobRow'];
export type Piece = components['schemas']['PieceOut'];
export type Step = components['schemas']['StepOut'];
export type Finding = components['schemas']['FindingOut'];
export type Fault = components['schemas']['FaultOut'];
export type SceneBody = components['schemas']['SceneBodyOut'];
export type Run = components['schemas']['RunOut'];
export type MeshOut = components['schemas']['MeshOut'];
export type Change = components['schemas']['Change'];
export type BenchOut = components['schemas']['BenchOut'];
export type BarsOut = components['schemas']['BarsOut'];
export type Card = components['schemas']['CardOut'];
export type EndViewOut = components['schemas']['EndViewOut'];
export type DoubtOut = components['schemas']['DoubtOut'];
export type MeasureOut = components['schemas']['MeasureOut'];
export type GhostOut = components['schemas']['GhostOut'];
export type SharingOut = components['schemas']['SharingOut'];
export type Picture = components['schemas']['PictureOut'];
export type Library = components['schemas']['LibraryOut'];
export type Readout = components['schemas']['ReadoutOut'];
export type JobCard = components['schemas']['JobCard'];
export type BenderGuides = components['schemas']['GuidesOut'];
export type BenderGuide = components['schemas']['BenderGuide'];
export type PartGuide = components['schemas']['PartGuide'];
export type NewJob = components['schemas']['NewJobIn'];
export type Preview = components['schemas']['PreviewOut'];
export type TakeOff = components['schemas']['TakeOffOut'];
export type Solid = components['schemas']['SolidOut'];

export type MotionOut = components['schemas']['MotionOut'];
export type StepSeen = components['schemas']['StepSeen'];
export type BodySeen = components['schemas']['BodySeen'];

export const client = createClient<paths>({ baseUrl: '/' });

export type Stale = components['schemas']['Faults']['stale'] | null;

/** What the server refused, with every fault that it found. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly faults: readonly Fault[],
    /** The file is another one by now, or a place of it; or a newer state is being worked out. */
    readonly stale: Stale = null,
  ) {
    super(faults.map((fault) => fault.says).join('\n'));
  }

  /** The file was changed by somebody else, or a newer state is being worked out. */
  get isStale(): boolean {
    return this.status === 409;
  }
}

/** The server did not answer at all. */
export class Unreachable extends Error {}

interface Answer<T> {
  data?: T;
  error?: unknown;
  response: Response;
}

/** Return what was asked for, or throw what was refused. */
export async function got<T>(asked: Promise<Answer<T>>): Promise<T> {
  let answer: Answer<T>;
  try {
    answer = await asked;
  } catch (error) {
    throw new Unreachable(error instanceof Error ? error.message : String(error));
  }
  if (answer.response.ok && answer.data !== undefined) return answer.data;
  const stale = (answer.error as { stale?: Stale } | undefined)?.stale ?? null;
  throw new Refused(answer.response.status, faultsOf(answer.error, answer.response.status), stale);
}

function faultsOf(error: unknown, status: number): readonly Fault[] {
  const told = (error as { errors?: Fault[] } | undefined)?.errors;
  return told?.length ? told : [{ says: `The server answered ${status}.` }];
}
