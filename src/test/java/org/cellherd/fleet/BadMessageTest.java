package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.UUID;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.json.JsonText;
import org.cellherd.store.Parcel;
import org.cellherd.store.ParcelRows;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.ParcelKind;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Whatever a site sends, it costs no other site anything: drawn parcels and states of a pack. */
class BadMessageTest {

  private static final long THEN = FleetSite.T0;
  private static final Lane BAD = new Lane(FleetSite.ROOT, "shore");
  private static final Lane GOOD = new Lane(FleetSite.ROOT, "hill");
  private static final String LOG = UUID.nameUUIDFromBytes(new byte[] {1}).toString();
  private static final int EACH = 300;

  private static final List<String> VIEWS =
      List.of(
          "SELECT count(time) + count(mean) FROM hours",
          "SELECT count(time) + count(mean) FROM days",
          "SELECT count(since) + count(time) FROM alerts",
          "SELECT count(since) + count(time) FROM findings");

  private final TestCentre server = TestCentre.fresh();
  private Centre centre;
  private ParcelBatch batch;

  static List<Long> seeds() {
    return HeldForGoodTest.seeds();
  }

  @BeforeEach
  void open() throws CentreTrouble {
    centre = Centre.openForWriting(server.address());
    batch = new ParcelBatch(centre, new Months());
  }

  @AfterEach
  void close() {
    centre.close();
  }

  /** Parcels that a site's program never makes. */
  private record Draw(Random random) {
    <T> T of(List<T> some) {
      return some.get(random.nextInt(some.size()));
    }

    @Nullable Object value() {
      return switch (random.nextInt(7)) {
        case 0 -> null;
        case 1 -> random.nextLong();
        case 2 -> of(List.of(Double.NaN, Double.POSITIVE_INFINITY, Double.MIN_VALUE, 1.5));
        case 3 -> of(List.of("", "\0", "crate", "\ud800", "x".repeat(3_000)));
        case 4 -> new byte[random.nextInt(20)];
        default -> THEN;
      };
    }

    String key(ParcelKind kind) {
      List<String> parts = new ArrayList<>();
      for (int i = 0; i < kind.keyParts(); i++) {
        long near = THEN + random.nextInt(1_000) * 3_600_000L;
        parts.add(
            of(List.of("" + near, "" + near, "" + random.nextLong(), "7", "crate", "\0", "")));
      }
      return String.join("/", parts);
    }

    PackedBytes body(ParcelKind kind) {
      List<String> columns = new ArrayList<>(kind.columns());
      Collections.shuffle(columns, random);
      columns = columns.subList(0, 1 + random.nextInt(columns.size()));
      List<List<@Nullable Object>> rows = new ArrayList<>();
      for (int r = random.nextInt(3); r > 0; r--) {
        List<@Nullable Object> row = new ArrayList<>();
        columns.forEach(c -> row.add(value()));
        rows.add(row);
      }
      byte[] bytes = new ParcelRows(columns, rows).packed().bytes();
      if (random.nextInt(4) == 0) {
        bytes[random.nextInt(bytes.length)] ^= (byte) (1 + random.nextInt(255));
      }
      return new PackedBytes(random.nextInt(8) == 0 ? new byte[0] : bytes);
    }

    /** As it comes over the broker; empty for what is left out there. */
    Optional<Arrived> parcel() {
      ParcelKind kind = of(List.of(ParcelKind.values()));
      Parcel parcel = new Parcel(kind, key(kind), 1 + random.nextInt(99), body(kind));
      String text = ParcelText.of(LOG, random.nextLong(), parcel).get(0);
      try {
        return Optional.of(new Arrived(BAD, ParcelText.parse(text)));
      } catch (IllegalArgumentException leftOut) {
        return Optional.empty();
      }
    }
  }

  private static Arrived parcel(Lane lane, ParcelKind kind, String key) {
    Parcel parcel = new Parcel(kind, key, 1, new PackedBytes(new byte[0]));
    return new Arrived(lane, new ParcelText(LOG, 1, 1, 1, parcel));
  }

  private long number(String sql) throws CentreTrouble {
    return centre.plain(c -> Database.number(c, sql).orElse(0));
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aBadParcelStopsNoLane(long seed) throws CentreTrouble {
    Draw draw = new Draw(new Random(seed));
    List<Arrived> all = new ArrayList<>(List.of(parcel(GOOD, ParcelKind.NOTE, "1")));
    for (int i = 0; i < EACH; i++) {
      draw.parcel().ifPresent(all::add);
    }
    Collections.shuffle(all, draw.random());
    assertThat(all).hasSizeGreaterThan(EACH / 3);
    assertThat(batch.store(all)).hasSameSizeAs(all);
    assertThat(number("SELECT count(*) FROM parcel WHERE site = 'hill'")).isOne();
    assertThat(number("SELECT count(*) FROM set_aside")).isPositive();
    for (String view : VIEWS) {
      assertThat(number(view)).isNotNegative();
    }
  }

  private static final String STATE =
      "{\"log\":\""
          + LOG
          + "\",\"plan\":{\"name\":\"Crate\",\"chemistry\":\"lfp\",\"series\":4},"
          + "\"plan_text\":\"[[pack]]\",\"state\":{\"state\":\"live\",\"since\":\"2026-01-01T00:00:00Z\"},"
          + "\"summary\":{\"time\":\"2026-01-01T00:00:00Z\",\"sentence\":\"Idle.\",\"days_since_full\":1.5},"
          + "\"alerts\":[{\"rule\":\"leak\",\"priority\":\"warning\",\"since\":\"2026-01-01T00:00:00Z\","
          + "\"text\":\"Cell 2 leaks.\"}]}";

  private static final List<String> VALUES =
      List.of(
          "null",
          "[]",
          "{}",
          "1e300",
          "-7",
          "\"\\u0000\"",
          "\"\\ud800\"",
          "[null,\"x\",{}]",
          "\"+999999999-12-31T23:59:59Z\"",
          "\"\"",
          "true");

  /** A state with one or two values in which something else stands. */
  private static String state(Draw draw) {
    String text = STATE;
    for (int i = draw.random().nextInt(3); i >= 0; i--) {
      List<MatchResult> values =
          Pattern.compile("(?<=:)(\"[^\"]*\"|[0-9.]+|\\[\\{.*?\\}\\]|\\{.*?\\})")
              .matcher(text)
              .results()
              .toList();
      MatchResult at = draw.of(values);
      text = text.substring(0, at.start()) + draw.of(VALUES) + text.substring(at.end());
    }
    return text;
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aBadStateHidesNoPack(long seed) throws CentreTrouble {
    Draw draw = new Draw(new Random(seed));
    List<NowRow> states = new ArrayList<>();
    for (int i = 0; i < EACH; i++) {
      try {
        states.add(NowRow.of(BAD, "pack-" + i, state(draw)));
      } catch (IllegalArgumentException leftOut) {
        // As it is at the broker.
      }
    }
    assertThat(states).hasSizeGreaterThan(EACH / 2);
    states.add(draw.random().nextInt(states.size()), NowRow.of(GOOD, "crate", STATE));
    NowRow.store(centre, states);
    FleetQuestion all =
        new FleetQuestion(Optional.empty(), Optional.empty(), Optional.empty(), EACH + 1);
    List<FleetPack> packs = all.ask(centre);
    assertThat(packs).extracting(FleetPack::site).contains("hill", "shore");
    for (FleetPack pack : packs) {
      assertThat(JsonText.of(pack.facts(THEN))).contains(pack.id());
    }
  }

  @Test
  void noSiteMakesAPieceOfAnotherForgotten() {
    Pieces pieces = new Pieces();
    Parcel large = new Parcel(ParcelKind.NOTE, "1", 1, new PackedBytes(new byte[100_000]));
    List<String> texts = ParcelText.of(LOG, 1, large);
    assertThat(pieces.add("hill", ParcelText.parse(texts.get(0)))).isEmpty();
    for (int token = 2; token < 1_000; token++) {
      pieces.add("shore", ParcelText.parse(ParcelText.of(LOG, token, large).get(0)));
    }
    assertThat(pieces.add("hill", ParcelText.parse(texts.get(1)))).isEmpty();
    assertThat(pieces.add("hill", ParcelText.parse(texts.get(2))))
        .hasValueSatisfying(whole -> assertThat(whole.parcel().crc()).isEqualTo(large.crc()));
  }

  private static long monthMs(int toCome) {
    LocalDate now = Instant.now().atZone(ZoneOffset.UTC).toLocalDate().withDayOfMonth(1);
    return now.plusMonths(toCome).atStartOfDay(ZoneOffset.UTC).toEpochSecond() * 1_000;
  }

  private static final String TABLES = "SELECT count(*) FROM pg_inherits";
  private static final String WITHOUT = "SELECT count(*) FROM parcel WHERE month = '1970-01-01'";

  /** Three tables of a month and their keys. */
  private static final int OF_A_MONTH = 2 * 3;

  @Test
  void aWrongClockMakesNoMonthsAndLosesNothing() throws CentreTrouble {
    List<Arrived> all = new ArrayList<>();
    for (int months = 1; months < 1_000; months++) {
      all.add(parcel(BAD, ParcelKind.HOUR, monthMs(months) + "/1/crate"));
      all.add(parcel(BAD, ParcelKind.HOUR, months * 3_600_000L + "/1/crate"));
    }
    assertThat(batch.store(all)).hasSameSizeAs(all);
    assertThat(batch.store(all)).hasSameSizeAs(all);
    assertThat(number("SELECT count(*) FROM parcel")).isEqualTo(all.size());
    assertThat(number(WITHOUT)).isEqualTo(all.size() - 1);
    assertThat(number(TABLES)).isEqualTo(2 * OF_A_MONTH);
  }

  /** The server's clock cannot be set here: the month is taken away, as if it were to come. */
  @Test
  void whatWasToComeMovesWhenItsMonthComes() throws CentreTrouble {
    long now = monthMs(0);
    List<Arrived> all = new ArrayList<>();
    all.add(parcel(BAD, ParcelKind.BLOCK, "3/-" + Long.MAX_VALUE));
    for (String time : List.of(now + "", now + 86_400_000L + "", "7")) {
      all.add(parcel(BAD, ParcelKind.BLOCK, "3/" + time));
      all.add(parcel(BAD, ParcelKind.FINDING, time + "/" + time + "/leak/crate"));
      all.add(parcel(BAD, ParcelKind.NOTE, time));
    }
    batch.store(all);
    assertThat(number(WITHOUT)).isEqualTo(6);
    server.run("SET search_path = cellherd; UPDATE parcel SET month = '1970-01-01'");
    String part = Instant.ofEpochMilli(now).toString().substring(0, 7).replace('-', '_');
    for (String table : List.of("parcel_", "hour_sum_", "day_sum_")) {
      server.run("DROP TABLE cellherd." + table + part);
    }
    new ParcelBatch(centre, new Months()).store(all);
    assertThat(number("SELECT count(*) FROM parcel")).isEqualTo(all.size());
    assertThat(number(WITHOUT)).isEqualTo(6);
  }
}
