"""Makes the tables known to the framework, and what is saved in them found."""

from django.apps import AppConfig
from django.db.models.signals import post_save, pre_save


class RecordsConfig(AppConfig):
    name = "snath.shop.records"
    label = "records"

    def ready(self) -> None:
        # Models exist only once the framework has loaded every app, hence the import here.
        from snath.shop.records.keepable import refuse_unkeepable
        from snath.shop.records.log import NOTED, note_row
        from snath.shop.records.models import Customer, JobRecord, MachineRecord
        from snath.shop.records.search import index_saved

        for model in self.get_models():
            pre_save.connect(refuse_unkeepable, sender=model, dispatch_uid=f"keepable {model.__name__}")
        for model in (Customer, MachineRecord, JobRecord):
            post_save.connect(index_saved, sender=model, dispatch_uid=f"index {model.__name__}")
        for noted in NOTED:
            post_save.connect(note_row, sender=noted, dispatch_uid=f"noted {noted.__name__}")
