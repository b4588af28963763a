package org.cellherd.protocol.field;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Refusal;

/** The data of one message: a row of fields that read and write it. Immutable. */
public final class Body implements MessageBody {
  private final List<Field> fields;
  private final int fixedBytes;
  private final boolean mayBeLonger;

  /**
   * A body.
   *
   * @param fields in the order of the data
   * @param fixedBytes length of the data where it is stated, or -1: as the fields make it
   * @param mayBeLonger true when bytes after the last field are of no interest
   */
  public Body(List<Field> fields, int fixedBytes, boolean mayBeLonger) {
    this.fields = List.copyOf(fields);
    this.fixedBytes = fixedBytes;
    this.mayBeLonger = mayBeLonger;
  }

  /** The fields. */
  public List<Field> fields() {
    return fields;
  }

  @Override
  public int length(byte[] data, int available) {
    if (fixedBytes >= 0) {
      return fixedBytes;
    }
    Walk walk = new Walk(data, available);
    for (Field field : fields) {
      Walk.Spot spot = walk.step(field);
      if (!spot.known()) {
        return -1;
      }
      if (spot.count() < 0) {
        return Integer.MAX_VALUE;
      }
    }
    return walk.end();
  }

  @Override
  public boolean mayBe(int length) {
    if (fixedBytes >= 0) {
      return length == fixedBytes;
    }
    return length >= least() && (mayBeLonger || length <= most());
  }

  @Override
  public int least() {
    return fixedBytes >= 0 ? fixedBytes : extent(false);
  }

  @Override
  public int most() {
    return fixedBytes >= 0 ? fixedBytes : extent(true);
  }

  private int extent(boolean longest) {
    int position = 0;
    int end = 0;
    for (Field field : fields) {
      boolean varies = !field.repetition().countField().isEmpty() || field.when().isPresent();
      if (field.isOver() || (varies && !longest)) {
        continue;
      }
      int start = field.startAfter(position);
      int repeats = Math.max(1, field.repetition().count()) - 1;
      position = start + repeats * field.place().stride() + field.coding().bits();
      end = Math.max(end, position);
    }
    return (end + 7) / 8;
  }

  @Override
  public Optional<Refusal> decode(byte[] data, int dataOffset, Draft draft) {
    Walk walk = new Walk(data, data.length);
    for (Field field : fields) {
      Walk.Spot spot = walk.step(field);
      Optional<Refusal> refusal = decode(field, spot, walk, data, draft);
      if (refusal.isPresent()) {
        Refusal r = refusal.get();
        return Optional.of(new Refusal(r.reason(), r.offset() + dataOffset, r.detail()));
      }
    }
    int right = fixedBytes >= 0 ? fixedBytes : walk.end();
    if (data.length < right || (data.length > right && !mayBeLonger)) {
      String text = data.length + " bytes of data, described are " + right;
      return Optional.of(new Refusal(Refusal.Reason.LENGTH, dataOffset, text));
    }
    return Optional.empty();
  }

  private static Optional<Refusal> decode(
      Field field, Walk.Spot spot, Walk walk, byte[] data, Draft draft) {
    if (!spot.known() || spot.count() < 0) {
      String text = field.name() + ": its count is missing or too large";
      return Optional.of(new Refusal(Refusal.Reason.FIELD, spot.start() / 8, text));
    }
    for (int i = 0; i < spot.count(); i++) {
      int at = spot.at(i);
      if (at + field.coding().bits() > 8 * data.length) {
        String text = field.name() + " ends beyond the data of " + data.length + " bytes";
        return Optional.of(new Refusal(Refusal.Reason.LENGTH, data.length, text));
      }
      Optional<Refusal> refusal = new FieldReading(field, i, walk::raw, draft).read(data, at);
      if (refusal.isPresent()) {
        return refusal;
      }
    }
    return Optional.empty();
  }

  @Override
  public List<byte[]> encode(Reading reading) {
    return List.of(new BodyWriter(fields, fixedBytes, reading).write());
  }

  /** True when bytes after the last field are of no interest. */
  public boolean mayBeLonger() {
    return mayBeLonger;
  }

  /** A field by its name. */
  static Optional<Field> named(List<Field> fields, String name) {
    return fields.stream().filter(f -> f.name().equals(name)).findFirst();
  }
}
