"""Makes the tables known to the framework, and what is saved in them found."""

from django.apps import AppConfig
from django.core.signals import request_started
from django.db import connection
from django.db.models.signals import post_save, pre_save


class RecordsConfig(AppConfig):
    name = "snath.shop.records"
    label = "records"

    def ready(self) -> None:
        # Models exist only once the framework has loaded every app, hence the import here.
        from snath.shop.records.keepable import refuse_unkeepable
        from snath.shop.records.log import NOTED, note_row
        from snath.shop.records.models import Customer, JobRecord, MachineRecord, ShopSettings
        from snath.shop.records.search import index_saved
        from snath.shop.records.store import shop_units

        for model in self.get_models():
            pre_save.connect(refuse_unkeepable, sender=model, dispatch_uid=f"keepable {model.__name__}")
        for model in (Customer, MachineRecord, JobRecord):
            post_save.connect(index_saved, sender=model, dispatch_uid=f"index {model.__name__}")
        post_save.connect(
            lambda **_: shop_units.cache_clear(), sender=ShopSettings, weak=False, dispatch_uid="units"
        )
        if connection.vendor == "postgresql":  # another bench may have saved it: asked anew with each request
            request_started.connect(
                lambda **_: shop_units.cache_clear(), weak=False, dispatch_uid="units asked anew"
            )
        for noted in NOTED:
            post_save.connect(note_row, sender=noted, dispatch_uid=f"noted {noted.__name__}")
