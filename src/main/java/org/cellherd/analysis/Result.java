package org.cellherd.analysis;

import org.cellherd.pack.Facts;

/**
 * What an analysis has found, as named parts with their units; facts are made of it at the edge.
 */
public interface Result {

  FindingName name();

  /** The same as plain data, rounded, for JSON, broker, log and people. */
  Facts facts();
}
