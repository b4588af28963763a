package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.function.ToLongFunction;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Refusal;

/** The data of one message: a row of fields that read and write it. Immutable. */
final class Body implements MessageBody {
  private final List<Field> fields;
  private final int fixedBytes;
  private final boolean mayBeLonger;
  private final Optional<Pages> pages;
  private final Map<String, ToLongFunction<Reading>> counted;

  /**
   * A body.
   *
   * @param fields in the order of the data
   * @param fixedBytes length of the data where it is stated, or -1: as the fields make it
   * @param mayBeLonger true when bytes after the last field are of no interest
   */
  public Body(List<Field> fields, int fixedBytes, boolean mayBeLonger) {
    this(fields, fixedBytes, mayBeLonger, Optional.empty(), Map.of());
  }

  private Body(
      List<Field> fields,
      int fixedBytes,
      boolean mayBeLonger,
      Optional<Pages> pages,
      Map<String, ToLongFunction<Reading>> counted) {
    this.fields = List.copyOf(fields);
    this.fixedBytes = fixedBytes;
    this.mayBeLonger = mayBeLonger;
    this.pages = pages;
    this.counted = Map.copyOf(counted);
  }

  public Body withPages(Optional<Pages> of) {
    return new Body(fields, fixedBytes, mayBeLonger, of, counted);
  }

  /** The same data, some fields of which tell what other messages are counted by. */
  public Body telling(Map<String, ToLongFunction<Reading>> others, Predicate<String> isNeeded) {
    List<Field> steering =
        fields.stream().map(f -> isNeeded.test(f.name()) ? f.asSteering() : f).toList();
    return new Body(steering, fixedBytes, mayBeLonger, pages, others);
  }

  public List<Field> fields() {
    return fields;
  }

  /** How it comes page by page, if it does. */
  public Optional<Pages> pages() {
    return pages;
  }

  /** What an encoder must tell in a field of another message, by {@code message.field}. */
  public Map<String, ToLongFunction<Reading>> counts() {
    return new Counts(fields, pages).all();
  }

  @Override
  public int length(byte[] data, int available, RawValues told) {
    if (fixedBytes >= 0) {
      return fixedBytes;
    }
    Walk walk = new Walk(data, available, told);
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
    return length >= least() && (mayBeLonger || isOpen() || length <= most());
  }

  /** True where a board may tell more of what is not measured than is described. */
  private boolean isOpen() {
    return fields.stream().anyMatch(f -> f.isCounted() && !f.isNeeded());
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
    Walk walk = new Walk(data, data.length, draft.told());
    for (Field field : fields) {
      Walk.Spot spot = walk.step(field);
      Optional<Refusal> refusal =
          wrongPage(field, walk).or(() -> decode(field, spot, walk, data, draft));
      if (refusal.isPresent()) {
        Refusal r = refusal.get();
        return Optional.of(new Refusal(r.reason(), r.offset() + dataOffset, r.detail()));
      }
    }
    int right = fixedBytes >= 0 ? fixedBytes : walk.isLost() ? data.length : walk.end();
    if (data.length < right || (data.length > right && !mayBeLonger)) {
      String text = Spoken.counted(data.length, "byte") + " of data, described are " + right;
      return Optional.of(new Refusal(Refusal.Reason.LENGTH, dataOffset, text));
    }
    draft.raws(walk.raws());
    pages.ifPresent(p -> draft.see(Pages.part(Objects.requireNonNull(draft.raw(p.field())))));
    return Optional.empty();
  }

  private Optional<Refusal> wrongPage(Field field, Walk walk) {
    if (pages.isEmpty() || !pages.get().field().equals(field.name())) {
      return Optional.empty();
    }
    Pages all = pages.get();
    Long page = walk.raw(field.name());
    if (page != null && all.mayHave(page)) {
      return Optional.empty();
    }
    long last = all.first() + all.count() - 1;
    String text = "page " + page + ", described are " + all.first() + " to " + last;
    return Optional.of(new Refusal(Refusal.Reason.FIELD, 0, text));
  }

  private static Optional<Refusal> decode(
      Field field, Walk.Spot spot, Walk walk, byte[] data, Draft draft) {
    if (!isPlaced(field, spot, walk)) {
      String text = "its count is missing or too large" + teller(field);
      if (field.isNeeded()) {
        text = field.name() + ": " + text;
        return Optional.of(new Refusal(Refusal.Reason.FIELD, spot.start() / 8, text));
      }
      walk.lose();
      draft.doubt(field.name(), text);
      return Optional.empty();
    }
    int described = field.repetition().count();
    if (spot.count() > described) {
      draft.doubt(
          field.name(),
          "comes " + Spoken.counted(spot.count(), "time") + ", described: " + described);
    }
    if (spot.endsBeyond(field, data.length)) {
      String text = "ends beyond the data of " + Spoken.counted(data.length, "byte");
      if (field.isNeeded() || !(field.isCounted() || walk.isLost())) {
        text = field.name() + " " + text;
        return Optional.of(new Refusal(Refusal.Reason.LENGTH, data.length, text));
      }
      walk.lose();
      draft.doubt(field.name(), text);
      return Optional.empty();
    }
    for (int i = 0; i < Math.min(spot.count(), described); i++) {
      int at = spot.at(i);
      Optional<Refusal> refusal = new FieldReading(field, i, walk::raw, draft).read(data, at);
      if (refusal.isPresent()) {
        return refusal;
      }
    }
    return Optional.empty();
  }

  private static boolean isPlaced(Field field, Walk.Spot spot, Walk walk) {
    String upTo = field.repetition().upTo();
    boolean isLastKnown = upTo.isEmpty() || walk.raw(upTo) != null;
    return spot.known() && spot.count() >= 0 && isLastKnown;
  }

  /** Names the other message that tells a count, which may not have come yet. */
  private static String teller(Field field) {
    String by = field.repetition().countField() + field.repetition().upTo();
    int dot = by.indexOf('.');
    return dot < 0 ? "" : "; the message \"" + by.substring(0, dot) + "\" gives it";
  }

  @Override
  public List<byte[]> encode(Reading reading) {
    Map<String, Long> told = new HashMap<>();
    counted.forEach((name, count) -> told.put(name, count.applyAsLong(reading)));
    if (pages.isEmpty()) {
      return List.of(new BodyWriter(fields, fixedBytes, reading, told).write());
    }
    List<byte[]> all = new ArrayList<>();
    int count = new Counts(fields, pages).pages(reading);
    for (int page = 0; page < count; page++) {
      told.put(pages.get().field(), pages.get().first() + page);
      told.put(pages.get().countField(), (long) count);
      all.add(new BodyWriter(fields, fixedBytes, reading, told).write());
    }
    return all;
  }

  @Override
  public boolean accumulates() {
    return pages.isPresent();
  }

  @Override
  public boolean goesOn(Draft before, Draft part) {
    return pages.map(p -> p.goOn(before, part)).orElse(false);
  }

  @Override
  public boolean isComplete(Draft draft) {
    return pages.map(p -> p.areIn(draft)).orElse(true);
  }

  /** True when bytes after the last field are of no interest. */
  public boolean mayBeLonger() {
    return mayBeLonger;
  }

  static Optional<Field> named(List<Field> fields, String name) {
    return fields.stream().filter(f -> f.name().equals(name)).findFirst();
  }
}
