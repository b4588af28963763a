package org.cellherd.app.soak;

import java.util.Arrays;
import java.util.List;

/** What goes wrong for a while during a run, and is over again before its end. */
enum Mishap {
  CABLE_PULLED,
  LINE_GARBLED,
  BOARD_MUTE,
  NETWORK_CUT,
  CLOCK_FORWARD,
  CLOCK_BACK,
  DISK_FULL,
  /** The computer wakes in the past and learns the time from the network later. */
  WRONG_CLOCK_AT_BOOT,
  /** The owner changed the plan: no saved state fits, and the whole log is read beside the run. */
  PLAN_CHANGED;

  /** All but those with which a run begins. */
  static final List<Mishap> LATER =
      Arrays.stream(values()).filter(m -> m != WRONG_CLOCK_AT_BOOT && m != PLAN_CHANGED).toList();
}
