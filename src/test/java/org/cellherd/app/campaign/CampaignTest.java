package org.cellherd.app.campaign;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import org.cellherd.app.campaign.fault.Catalogue;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Some hours of the campaign; {@link Campaign} runs days of it, and the real program. */
class CampaignTest {

  @TempDir private Path folder;

  @Test
  void hoursOfFaultsLoseNoAlertAndNoReadingWithoutACause() throws Exception {
    Outcome outcome = new SimulatedRun(folder, 3).run(8);

    outcome.print(System.out);
    assertThat(outcome.faults()).isEmpty();
    assertThat(outcome.books().stored()).isGreaterThan(3_000);
  }

  @Test
  void theCatalogueHoldsFaultsOfAllFamilies() {
    assertThat(Catalogue.all().count()).isGreaterThanOrEqualTo(40);
    assertThat(Catalogue.all().map(f -> f.family()).distinct()).hasSize(9);
  }
}
