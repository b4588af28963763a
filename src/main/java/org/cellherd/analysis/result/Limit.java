package org.cellherd.analysis.result;

import org.cellherd.pack.Worded;

/** What keeps a pack from giving more. */
public enum Limit implements Worded {
  /** What its smallest cell holds: balancing would bring next to nothing. */
  CAPACITY,
  /** Other cells are full first than are empty first: balancing would bring some. */
  CHARGE,
  /** The charge before did not show how the cells stood, or not well enough. */
  UNKNOWN;

  @Override
  public String word() {
    return Underscored.word(this);
  }
}
