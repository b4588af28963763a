package org.cellherd.protocol.spec;

import java.util.OptionalDouble;

/** From a field's number to the value in the unit inside, and back. Immutable. */
interface Conversion {

  /** The value inside, not yet rounded; empty when the number means "no reading". */
  OptionalDouble toInside(double number);

  /** The number for a value inside. */
  double toNumber(double inside);
}
