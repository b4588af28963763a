package org.cellherd.protocol;

import java.util.List;
import org.cellherd.protocol.spec.SpecDecoder;
import org.cellherd.protocol.spec.Specs;

/** The shipped descriptions, read once. */
final class Described {

  private static final List<SpecDecoder> ALL =
      Specs.shipped().stream().map(SpecDecoder.class::cast).toList();

  private Described() {}

  static List<SpecDecoder> all() {
    return ALL;
  }
}
