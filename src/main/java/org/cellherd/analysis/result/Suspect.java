package org.cellherd.analysis.result;

import org.cellherd.pack.Worded;

/** Why a cell shows more resistance than its neighbours. */
public enum Suspect implements Worded {
  /** A joint within the sense points of the cell: strap, busbar, lug. */
  STRAP,
  /** The cell itself. */
  CELL,
  /** Not told apart yet: steps at another temperature would tell. */
  STRAP_OR_CELL;

  @Override
  public String word() {
    return Underscored.word(this);
  }
}
