package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;

/**
 * No two pairs of site and pack share a device, and no pack's device is a site's. Every short id is
 * tried, and long ones are drawn out of the same few signs, where likeness is most likely.
 */
class HomieTopicsTest {

  private static final String SIGNS = "a1-";
  private static final int SHORT = 4;
  private static final long SEED = Long.getLong("homie.seed", 32);

  @Test
  void eachPairOfSiteAndPackHasADeviceOfItsOwn() {
    Set<String> ids = new LinkedHashSet<>();
    allFrom("", ids);
    Random random = new Random(SEED);
    while (ids.size() < 200) {
      StringBuilder id = new StringBuilder();
      for (int i = 5 + random.nextInt(36); i > 0; i--) {
        id.append(SIGNS.charAt(random.nextInt(SIGNS.length())));
      }
      if (PackPlan.isId(id.toString())) {
        ids.add(id.toString());
      }
    }

    Map<String, String> owners = new HashMap<>();
    for (String site : ids) {
      HomieTopics topics = new HomieTopics("homie", site);
      owner(owners, topics.root(), "site " + site);
      for (String pack : ids) {
        owner(owners, topics.device(pack), "site " + site + ", pack " + pack);
      }
    }
    assertThat(owners.size()).isGreaterThan(40_000);
  }

  private static void owner(Map<String, String> owners, String device, String owner) {
    // The convention allows a-z, 0-9 and hyphens in an id, and none at its ends.
    assertThat(device).matches("[a-z0-9]([a-z0-9-]*[a-z0-9])?");
    assertThat(owners.putIfAbsent(device, owner)).as("seed %d, %s", SEED, owner).isIn(null, owner);
  }

  private static void allFrom(String begun, Set<String> ids) {
    if (PackPlan.isId(begun)) {
      ids.add(begun);
    }
    for (int i = 0; i < SIGNS.length() && begun.length() < SHORT; i++) {
      allFrom(begun + SIGNS.charAt(i), ids);
    }
  }
}
