package org.cellherd.protocol.bringup;

import org.cellherd.protocol.bringup.Structure.Kind;

/**
 * Writes the fields of drafted messages; cells and sensors are numbered on from one to the next.
 */
final class DraftFields {
  private final Structure structure;
  private final StringBuilder out;
  private final RowNumbers numbers = new RowNumbers();

  DraftFields(Structure structure, StringBuilder out) {
    this.structure = structure;
    this.out = out;
  }

  void write(Kind kind) {
    out.append("field = [\n");
    boolean isEmpty = true;
    for (ColumnGuess guess : kind.guesses()) {
      if (guess.field().isPresent()) {
        isEmpty = false;
        write(guess, guess.field().get());
      }
    }
    if (isEmpty) {
      out.append("  { at = 0, name = \"byte_1\", type = \"u8\" },\n");
    }
    out.append("]\n");
  }

  private void write(ColumnGuess guess, String field) {
    out.append("  { at = ").append(guess.at() - structure.dataAt()).append(", ").append(field);
    out.append(numbers.next(guess)).append(" }, # ").append(guess.what()).append('\n');
  }
}
