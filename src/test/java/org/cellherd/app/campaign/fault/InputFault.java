package org.cellherd.app.campaign.fault;

import java.util.Random;
import java.util.Set;
import org.cellherd.app.campaign.stage.Life;
import org.cellherd.app.campaign.stage.People;
import org.cellherd.app.campaign.stage.RealSite;

/** What people and programs put in beside the running program, rightly and wrongly. */
public enum InputFault implements CampaignFault {
  ACK_OF_NOTHING(say("{\"id\": \"no-such-alert\", \"by\": \"stranger\"}")),
  ACK_WITH_TWO_IDS(say("{\"id\": \"a\", \"id\": \"b\", \"by\": \"x\"}")),
  ACK_BY_NO_NAME(say("{\"id\": \"a\", \"by\": {\"x\": [1, 2]}}")),
  ACK_NO_JSON(say("\u0000\u0001{{{[[[")),
  ACK_OF_A_MEGABYTE((site, r) -> site.people().acknowledge("x".repeat(900_000))),
  ACK_FLOOD((site, r) -> flood(site.people())),
  ACK_OF_ALL((site, r) -> site.people().acknowledgeAll()),
  FOREIGN_HEARTBEAT((site, r) -> site.people().say("heartbeat", "{\"time\": \"yesterday\"}")),
  READ_BESIDE(verb("0 4", "read", "--pack", "crate")),
  ALERTS_BESIDE(verb("0", "alerts", "--all")),
  NOTE_BESIDE(verb("0", "note", "--pack", "crate", "looked at it")),
  BACKUP_BESIDE((site, r) -> site.desk().backup()),
  EXPORT_BESIDE(verb("0 4", "export", "--pack", "crate")),
  REPORT_BESIDE((site, r) -> site.desk().report()),
  CHECK_BESIDE(verb("0 1 4", "check")),
  BALANCE_BESIDE(verb("0 4", "balance", "--pack", "crate")),
  TEST_BESIDE(verb("0", "alerts", "test")) {
    @Override
    public Set<FaultFamily> apartFrom() {
      return Set.of(FaultFamily.BROKER);
    }
  },
  IMPORT_BESIDE((site, r) -> site.desk().importCsv("", "4")),
  HOSTILE_IMPORT((site, r) -> site.desk().importCsv(hostile(r), "0 1 2 3 4")),
  SECOND_RUN(verb("4", "run")),
  PACK_REMOVED((site, r) -> {}) {
    @Override
    public Strike strike() {
      return (world, random) -> {
        world.site().child().leaveOutTheLastPack(true);
        world.life().restart(false, false, Life.FileWork.NONE);
        return () -> {
          world.site().child().leaveOutTheLastPack(false);
          world.life().restart(false, false, Life.FileWork.NONE);
        };
      };
    }
  };

  private interface Deed {
    void at(RealSite site, Random random) throws Exception;
  }

  private final Deed deed;

  InputFault(Deed deed) {
    this.deed = deed;
  }

  private static Deed say(String acknowledgement) {
    return (site, random) -> site.people().acknowledge(acknowledgement);
  }

  private static Deed verb(String codes, String... words) {
    return (site, random) -> site.desk().ask(codes, words);
  }

  private static void flood(People people) throws Exception {
    for (int i = 0; i < 300; i++) {
      people.acknowledge("{\"id\": \"flood-" + i + "\", \"by\": \"stranger\"}");
    }
  }

  private static String hostile(Random random) {
    String[] lines = {
      "time,cell_1_v\n9999-12-31T23:59:59Z,3.3\n",
      "time,cell_1_v\n2026-01-01T00:00:00Z,nan\n",
      "\uFEFFtime;cell_1_v\r\n2026-01-01T00:00:00Z;3,3\r\n",
      "time,cell_1_v\n2026-01-01T00:00:00Z,3300\n",
      "x".repeat(3_000_000),
      "time,cell_1_v,cell_2_v,cell_3_v,cell_4_v,cell_5_v\n2026-01-01T00:00:00Z,3,3,3,3,3\n",
      ""
    };
    return lines[random.nextInt(lines.length)];
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.INPUT;
  }

  @Override
  public boolean isRealOnly() {
    return true;
  }

  @Override
  public boolean isRestarting() {
    return this == PACK_REMOVED;
  }

  @Override
  public Strike strike() {
    return (world, random) -> {
      deed.at(world.site(), random);
      return Relief.NONE;
    };
  }
}
