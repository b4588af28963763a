package org.cellherd.analysis;

import java.util.ArrayList;
import java.util.List;

/**
 * Findings that a fold has completed and not yet handed over, in order. Not part of a fold's state:
 * a fold is saved between entries, when all were handed over. Belongs to one thread.
 */
public final class Completed {

  private final List<Finding> waiting = new ArrayList<>();

  public void add(Finding finding) {
    waiting.add(finding);
  }

  /** Hands all over, each once; asked at every reading, so that nothing is copied when empty. */
  public List<Finding> drain() {
    if (waiting.isEmpty()) {
      return List.of();
    }
    List<Finding> drained = List.copyOf(waiting);
    waiting.clear();
    return drained;
  }
}
