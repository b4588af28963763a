package org.cellherd.report.scene;

/** The paper. */
public enum Theme {
  LIGHT,
  DARK
}
