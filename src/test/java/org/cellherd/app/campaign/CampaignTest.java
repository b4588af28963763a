package org.cellherd.app.campaign;

class CampaignTest {}
