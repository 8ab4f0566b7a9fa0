/** What the server sends: see api/plan.py. Read by the type checker only, never by a browser. */

export interface Lab {
  lightness: number;
  a: number;
  b: number;
}

export interface Fabric {
  id: string;
  name: string;
  reads_as: Lab;
  colours: { colour: Lab; share: number }[];
  print_scale: number;
  warnings: { fault: string }[];
  photo: string;
  light: string;
  corrected: "none" | "white" | "chart";
}

export interface Swatch {
  fabric: Fabric;
  picture: string;
  shows: string;
  shows_given: boolean;
  must_use: boolean;
  leave_out: boolean;
  directional: boolean;
}

export interface Setting {
  kind: "on point" | "straight";
  across: number;
  down: number;
  block_size: string;
  alternate: boolean;
  sashing: string;
  cornerstones: boolean;
}

export type Verdict = "clear" | "soft" | "camouflage" | "lost";

export interface Contrast {
  fabric: string;
  background: string;
  verdict: Verdict;
  difference: number;
  lightness: number;
  near_share: number;
}

export interface LeftOut {
  fabric: string;
  reason: "left out by hand" | "twin" | "lost" | "camouflage" | "not needed";
  other: string | null;
}

export interface Choice {
  kept: string[];
  left_out: LeftOut[];
  closest: number | null;
  closest_pair: [string, string] | null;
  proved: boolean;
  relax: { limit: string; value: number; brings_back: string[] }[];
}

/** One border, from the centre outward. */
export interface Border {
  width: string;
  fabric: string;
}

/** The cloth at hand for a fabric, where it is not the usual form. */
export interface OwnCloth {
  fabric: string;
  form: string;
  count: number;
  length: string | null;
  width: string | null;
  height: string | null;
  units: string | null;
}

/** Cutting and finishing. */
export interface Sewing {
  binding: string;
  grain: string;
  join: string;
  seam: string;
  triangles: string;
  form: string;
  form_units: string | null;
  cloths: OwnCloth[];
  squaring: string;
  side_square: string | null;
  corner_square: string | null;
  shrinkage: number;
}

/** One fabric on the cutting table. */
export interface ClothRow {
  fabric: string;
  name: string;
  form: string;
  cloth: string;
  own: boolean;
  size: string;
  verdict: "fits" | "fits with stacking" | "short" | "too large" | "undecided";
  fits: boolean;
  enough: number | null;
  brief: string;
  sentences: string[];
  cuts: { numbers: string; words: string }[];
}

/** What one piece of cloth holds of a block. */
export interface Holding {
  blocks: number;
  spare: string;
  waste: number;
  whole: boolean;
}

/** A block size, and what one piece of cloth holds of it as sold and squared up. */
export interface WhatIfRow {
  finished: string;
  nominal: Holding;
  usable: Holding;
  on_ruler: boolean;
}

/** The pattern on one bed. */
export interface BedRow {
  bed: string;
  size: { words: string };
  across: number;
  down: number;
  blocks: number;
  border: string;
  buy: string[];
}

/** What is cut, bought and pressed. */
export interface CuttingTable {
  revision: number;
  verdict: string;
  checked: string;
  forms: { name: string; label: string }[];
  cloths: ClothRow[];
  amounts: { what: string; much: string }[];
  setting: string[];
  strip_sets: string[];
  notes: string[];
  pressing: string;
  arrows: { x: number; y: number; dx: number; dy: number }[][];
  care: string[];
}

/** A quilting thread over every fabric: ids by verdict. */
export interface Thread {
  id: string;
  name: string;
  colour: string;
  own: boolean;
  shows: string[];
  soft: string[];
  vanishes: string[];
  calm: boolean;
  showy: boolean;
  sentence: string;
}

export interface Brief {
  title: string;
  swatches: Swatch[];
  backgrounds: Swatch[];
  threads: Swatch[];
  thread: string;
  background: string;
  count: number | null;
  limits: Record<string, number>;
  setting: Setting;
  sashing_fabric: string;
  cornerstone_fabric: string;
  block: string;
  borders: Border[];
  binding_fabric: string;
  backing_fabric: string;
  second_fabric: string;
  own_block: OwnBlock | null;
  threads: Swatch[];
  thread: string;
  style: string;
  apart: number;
  seed: number;
  sewing: Sewing;
  units: "inches" | "metric";
}

/** A change of the brief: any of its fields, any part of the setting and of sewing. */
export type BriefChange = Partial<Omit<Brief, "setting" | "sewing">> & {
  setting?: Partial<Setting>;
  sewing?: Partial<Sewing>;
};

/** A block of the designer's own as text. */
export interface OwnBlock {
  name: string;
  columns: string[];
  rows: string[];
  patches: string[];
}

export interface Layout {
  fabrics: string[];
  pinned: number[];
  turned: number[];
  turn: 90 | 180;
}

export interface Quality {
  closest: number;
  closest_cells: [number, number] | null;
  reach: number;
  bound: number;
  proved: boolean;
  copies_apart: number;
}

export interface Plan {
  brief: Brief;
  background: string;
  contrasts: Contrast[];
  choice: Choice | null;
  layout: Layout | null;
  quality: Quality | null;
  by_hand: boolean;
}

export interface Cell {
  x: number;
  y: number;
  row: number;
  column: number;
  plain?: boolean;
}

/** What is known of a plan, in sentences; by id of a fabric, or of a background and a fabric. */
export interface PlanWords {
  stands: Record<string, Record<string, string>>;
  left_out: Record<string, string>;
  closest: string;
  picks: string[];
  relax: string[];
  neighbours: string[];
  gist: string;
  problems: string[];
  warnings: Record<string, string[]>;
}

export interface PlanView {
  id: string;
  revision: number;
  can_undo: boolean;
  can_redo: boolean;
  plan: Plan;
  colours: Record<string, string>;
  pictures: Record<string, string>;
  obtained: Record<string, string>;
  summary: string[];
  words: PlanWords;
  size: { width: number; height: number; words: string };
  block: Block;
  cells: Cell[];
  around: { part: string; fabric: string; points: [number, number][]; grain: number }[];
  centre: { x: number; y: number; turn: 0 | 45; side: number };
  threads: Thread[];
  verdicts: Record<string, Record<Verdict, number>>;
  threads: Thread[];
}

/** A step of a JSON Patch (RFC 6902). */
export interface Operation {
  op: "add" | "remove" | "replace";
  path: string;
  value?: unknown;
}

/** What a change did to a plan. */
export interface PlanChange {
  id: string;
  base: number;
  revision: number;
  can_undo: boolean;
  can_redo: boolean;
  patch: Operation[];
}

export interface Block {
  name: string;
  title: string;
  patches: { role: "F" | "S" | "B"; points: [number, number][] }[];
}

/** What a left-out fabric would do in the place of a chosen one. */
export interface Try {
  fabric: string;
  closest_after: number | null;
  sentence: string;
}

/** Two blocks that touch. */
export interface Near {
  first: number;
  second: number;
  touch: "edge" | "point";
  difference: number;
  sentence: string;
}

export interface Swap {
  first: number;
  second: number;
  gain: number;
  closest_after: number;
  sentence: string;
}

/** What a left-out fabric would do in the place of a chosen one. */
export interface Try {
  fabric: string;
  closest_after: number;
  sentence: string;
}

export interface Upload {
  results: { file: string; fabric: string | null; problem: string | null }[];
  plan: PlanChange;
}

export type ViewName = "cloth" | "flat" | "grey";

export interface PlanLine {
  id: string;
  title: string;
  revision: number;
  saved_at: string;
  family: string;
  picture: string;
}

/** A plan beside its variants. */
export interface Variant extends PlanLine {
  current: boolean;
  facts: string[];
}

export interface Revision {
  revision: number;
  made_at: string;
  what: string;
  current: boolean;
}

/** Two touching blocks that look alike. */
export interface Near {
  first: number;
  second: number;
  touch: "edge" | "point";
  difference: number;
  sentence: string;
}

/** What was found in one photo of a bundle. */
export interface Bundle {
  picture: string;
  address: string;
  kind: "spread" | "grid" | "stack";
  width: number;
  height: number;
  pieces: { name: string; corners: [number, number][]; crop: string }[];
  warnings: string[];
}
