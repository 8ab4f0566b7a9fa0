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
  warnings: string[];
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
  block: string;
  alternate: boolean;
  sashing?: string;
  cornerstones?: boolean;
}

export type Verdict = "clear" | "soft" | "camouflage" | "lost";

export interface Contrast {
  fabric: string;
  background: string;
  verdict: Verdict;
  difference: number;
  lightness: number;
  near_share: number;
  sentence: string;
}

export interface LeftOut {
  fabric: string;
  reason: "left out by hand" | "twin" | "lost" | "camouflage" | "not needed";
  sentence: string;
  other: string | null;
}

export interface Choice {
  kept: string[];
  left_out: LeftOut[];
  closest: number | null;
  closest_pair: [string, string] | null;
  proved: boolean;
  problems: string[];
  relax: { limit: string; value: number; brings_back: string[]; sentence: string }[];
}

export interface Brief {
  title: string;
  swatches: Swatch[];
  backgrounds: Swatch[];
  background: string;
  count: number | null;
  limits: Record<string, number>;
  setting: Setting;
  block: string;
  own_block: OwnBlock | null;
  border: string;
  border_fabric: string;
  sashing_fabric?: string;
  cornerstone_fabric?: string;
  style: string;
  apart: number;
  seed: number;
  units: "inches" | "metric";
}

/** A block of the designer's own as text. */
export interface OwnBlock {
  name: string;
  columns: string[];
  rows: string[];
  patches: string[];
}

/** A change of the brief: any of its fields, any part of the setting. */
export type Wish = Partial<Omit<Brief, "setting">> & { setting?: Partial<Setting> };

export interface Layout {
  fabrics: string[];
  pinned: number[];
  turned: number[];
}

export interface Quality {
  closest: number;
  closest_cells: [number, number] | null;
  reach: number;
  bound: number;
  proved: boolean;
  cause: string;
  copies_apart: number;
}

export interface Plan {
  brief: Brief;
  background: string;
  contrasts: Contrast[];
  choice: Choice | null;
  layout: Layout | null;
  quality: Quality | null;
  problems: string[];
  by_hand: boolean;
}

export interface Cell {
  x: number;
  y: number;
  row: number;
  column: number;
  plain?: boolean;
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
  size: { width: number; height: number; words: string };
  block: Block;
  cells: Cell[];
  verdicts: Record<string, Record<Verdict, number>>;
}

export interface Block {
  name: string;
  title: string;
  patches: { role: "F" | "S" | "B"; points: [number, number][] }[];
}

export interface Swap {
  first: number;
  second: number;
  gain: number;
  closest_after: number;
}

export interface Upload {
  results: { file: string; fabric: string | null; problem: string | null }[];
  plan: PlanView;
}

export type ViewName = "cloth" | "flat" | "grey";

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
