package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;
import org.cellherd.store.Parcel;
import org.cellherd.store.ParcelRows;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;
import org.cellherd.store.sql.ParcelKind;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The statements of the documentation give each role what it needs and no more. */
class CentreRolesTest {

  private static final String LOG = "00000000-0000-0000-0000-00000000000a";

  private final TestCentre server = TestCentre.fresh();
  private final String owner = server.user("");
  private final String gatherer = server.user("");
  private final String asker = server.user("");

  /** As the documentation says, with users of this test's own. */
  @BeforeEach
  void giveRights() throws IOException, CentreTrouble {
    String page = Files.readString(Path.of("src/deb/fleet.md"), StandardCharsets.UTF_8);
    Matcher shown = Pattern.compile("(?s)In PostgreSQL.*?```sql\n(.*?)```").matcher(page);
    assertThat(shown.find()).isTrue();
    boolean hasTables = false;
    for (String line : shown.group(1).lines().toList()) {
      if (line.contains("cellherd TO") && !hasTables) {
        open(owner).close();
        hasTables = true;
      }
      server.run(
          line.replaceAll("CREATE ROLE \\w+ LOGIN;", "")
              .replaceAll("DATABASE sites", "DATABASE " + server.database())
              .replaceAll("\\bherd\\b", owner)
              .replaceAll("\\bgatherer\\b", gatherer)
              .replaceAll("\\basker\\b", asker));
    }
  }

  private CentreAddress as(String user) {
    return CentreAddress.of(server.url(user), new char[0], Optional.empty());
  }

  private Centre open(String user) throws CentreTrouble {
    return Centre.openForWriting(as(user));
  }

  private static long number(Centre centre, String sql) throws CentreTrouble {
    return centre.plain(c -> Database.number(c, sql).orElse(0));
  }

  private static Arrived note(long rev, boolean isThere) {
    PackedBytes body =
        isThere
            ? new ParcelRows(List.of("pack", "text"), List.of(List.of("crate", "Full."))).packed()
            : new PackedBytes(new byte[0]);
    Parcel parcel = new Parcel(ParcelKind.NOTE, "1", rev, body);
    return new Arrived(new Lane(FleetSite.ROOT, "hill"), new ParcelText(LOG, rev, 1, 1, parcel));
  }

  private static Arrived hour(long rev, long ms) {
    Parcel parcel = new Parcel(ParcelKind.HOUR, ms + "/1/crate", rev, new PackedBytes(new byte[0]));
    return new Arrived(new Lane(FleetSite.ROOT, "hill"), new ParcelText(LOG, rev, 1, 1, parcel));
  }

  @Test
  void aGathererStoresChangesAndWithdrawsInAnyMonth() throws CentreTrouble {
    try (Centre centre = open(gatherer)) {
      ParcelBatch batch = new ParcelBatch(centre, new Months());
      batch.store(List.of(note(1, true), hour(2, FleetSite.T0)));
      batch.store(List.of(note(3, false), hour(4, FleetSite.T0 - 40 * 86_400_000L)));
      String all = "SELECT count(*) FROM parcel WHERE rev > 1";
      assertThat(number(centre, all)).isEqualTo(3);
      assertThat(number(centre, "SELECT count(*) FROM set_aside")).isEqualTo(0);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "DELETE FROM parcel",
        "DELETE FROM log",
        "TRUNCATE parcel",
        "DROP TABLE parcel",
        "CREATE TABLE more(site text)",
        "UPDATE schema_version SET version = 1"
      })
  void aGathererTakesNothingAway(String statement) throws CentreTrouble {
    try (Centre centre = open(gatherer)) {
      assertDenied(centre, statement);
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "INSERT INTO parcel SELECT * FROM parcel",
        "UPDATE alert SET stands = false",
        "DELETE FROM pack_now",
        "SELECT month_ready('2020-01-01')"
      })
  void whoAsksChangesNothing(String statement) throws CentreTrouble {
    try (Centre centre = Centre.connect(as(asker))) {
      assertDenied(centre, statement);
    }
  }

  private static void assertDenied(Centre centre, String statement) {
    assertThatThrownBy(
            () ->
                centre.change(
                    c -> {
                      Database.execute(c, statement);
                      return true;
                    }))
        .isInstanceOf(CentreTrouble.class)
        .hasMessageContaining("does not give this user the right");
  }

  @Test
  void whoAsksReadsTablesAndViewsAlsoOfNewMonths() throws CentreTrouble {
    try (Centre centre = open(gatherer)) {
      new ParcelBatch(centre, new Months()).store(List.of(hour(1, FleetSite.T0)));
    }
    try (Centre centre = Centre.openForReading(as(asker))) {
      String all = "SELECT count(*) FROM parcel WHERE (SELECT count(*) FROM hours) = 0";
      assertThat(number(centre, all)).isEqualTo(1);
    }
  }

  @Test
  void whoMayOnlyReadIsToldSoBeforeTheFirstParcel() {
    assertThatThrownBy(() -> open(asker))
        .isInstanceOf(CentreTrouble.class)
        .hasMessageContaining("lets this user read only")
        .hasMessageContaining("see the roles in fleet.md");
  }
}
