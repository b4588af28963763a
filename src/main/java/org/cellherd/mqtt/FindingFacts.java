package org.cellherd.mqtt;

import org.cellherd.analysis.Finding;
import org.cellherd.pack.Facts;

/** A finding's JSON. */
final class FindingFacts {

  private FindingFacts() {}

  /** The JSON of the topic {@code <pack>/finding/<name>}. */
  static Facts of(Finding finding) {
    return Facts.of()
        .put("finding", finding.name().word())
        .putTime("from", finding.fromMs())
        .putTime("to", finding.toMs())
        .put("text", finding.sentence())
        .put("facts", finding.facts())
        .build();
  }
}
